package leads

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	followEpisodes = 4                // stretches of movement that make another fit worth while
	followRestless = 16               // and this many while the sticks do not rest
	followWait     = 2 * unit.Second  // between two fits of an output,
	followLongest  = 20 * unit.Minute // longer and longer while nothing new comes of them
	followMoved    = 20_000           // ns that a channel must go farther than ever to end that

	followSlope = 20_000 // ppm by which a slope must change, beyond how sure it was, to be reported anew
	followRange = 25_000 // ns by which an output must go farther to be reported anew

	modeCalm = 300 * unit.Millisecond // after a mode channel moved, until it is known what it asks for
)

// OutputFollows reports what mix of the channels each output was found to follow. While the
// bus is live it keeps short stretches of movement; when the sticks rest it fits. It
// reports when the first channel is sure, and anew when there is more to say. Each mode
// is looked at by itself, since a stabiliser changes what an output follows.
//
//	aileron  ___/\/\____________/\/\__
//	output 1 ____/\/\____________\/\/_     reported: 1.0 of aileron, 40 ms late
//	mode     damping    | upright           collected afresh
//
// What it found goes into Tap.Fits, for those after it.
type OutputFollows struct {
	Tap      uint8
	Began    bool
	Mode     string // asked for since Log began
	Log      mix.Log
	Outputs  event.ByOutput[outputFit]
	Reports  []followsReport
	Switched unit.Time    // when a mode channel moved last, wire time
	Switches []unit.Width // widths of the mode channels then
	Heard    unit.Time    // wire time of the last frame

	widths []unit.Width // scratch
}

// outputFit is one output.
type outputFit struct {
	Output int
	Last   unit.Time     // rise of its latest pulse
	From   unit.Time     // only what came later counts
	Fitted unit.Time     // date of the last fit
	Wait   unit.Duration // after that
	Count  int64         // episodes of the log then
	Reach  unit.Width    // how far the channels had moved by then, ns
	Delay  unit.Duration // found; -1: not yet
}

// followsReport is what was last reported of an output in a mode.
type followsReport struct {
	Output int
	At     unit.Time
	Data   event.OutputFollowsData
}

// See implements Watcher.
func (f *OutputFollows) See(o *event.Observation, v *base.View, emit event.Emit) {
	bus := v.FirstBus()
	switch {
	case bus == 0:
	case o.Tap == f.Tap && o.Kind == event.PulseSeen:
		f.pulse(o)
	case base.Judgeable(o, bus):
		f.frame(o, bus, v, emit)
	case base.TapClosed(o, f.Tap) || base.TapClosed(o, bus) || v.Anew(o) != "":
		f.reset(v)
	}
}

// reset begins from nothing: the receiver may have been set otherwise meanwhile.
func (f *OutputFollows) reset(v *base.View) {
	*f = OutputFollows{Tap: f.Tap}
	v.Taps[f.Tap].Fits = event.ByOutput[base.OutputFit]{}
}

func (f *OutputFollows) pulse(o *event.Observation) {
	n, rise := o.Pulse.Output, o.Wire.Add(-o.Pulse.Width.Duration())
	if n < 1 || n > mix.MaxOutputs {
		return
	}
	w := f.Outputs.Of(n)
	if w == nil {
		w = f.Outputs.Add(n, outputFit{Output: n, Last: rise, Delay: -1, Wait: followWait})
	}
	if rise.Sub(w.Last) > base.MinRestartSilence {
		w.From = rise
	}
	w.Last = rise
	f.Log.Pulse(n, rise, o.Pulse.Width)
}

func (f *OutputFollows) frame(o *event.Observation, bus uint8, v *base.View, emit event.Emit) {
	t := &v.Taps[bus]
	if f.Began && o.Wire.Sub(f.Heard) > base.MinRestartSilence {
		f.reset(v)
	}
	f.Heard = o.Wire
	signal := base.SignalOf(o.Frame)
	if signal == event.SignalMissed {
		return // the outputs hold meanwhile, as the bus does
	}
	if signal != event.SignalLive || !f.calm(o, t, v) {
		f.Log.Break()
		return
	}
	if !f.Began || f.Mode != t.Mode {
		f.begin(t.Mode, v)
	}
	f.widths = f.widths[:0]
	for i := range f.Log.Channels {
		f.widths = append(f.widths, base.Width(v.Sheet, o.Frame, f.Log.Channels[i].Number))
	}
	f.Log.Frame(o.Wire, f.widths)
	reach := f.reach()
	for i := range f.Outputs.List {
		if f.due(&f.Outputs.List[i], reach, o.At) {
			f.fit(&f.Outputs.List[i], o, v, emit)
			return // one a frame, so that no frame waits for long
		}
	}
}

// calm reports that what moves is the sticks alone: the signal is good, no drill
// tilts the model, and it is known which mode is asked for.
func (f *OutputFollows) calm(o *event.Observation, t *base.Tap, v *base.View) bool {
	for i, ch := range v.ModeChannels {
		w := base.Width(v.Sheet, o.Frame, ch)
		if len(f.Switches) <= i {
			f.Switches = append(f.Switches, w)
		}
		if unit.Abs(w-f.Switches[i]) > v.Sheet.Tolerance.Position/2 {
			f.Switches[i], f.Switched = w, o.Wire
		}
	}
	return o.Pace.Known && !t.Suspect && t.Loss == "" && !v.Plan().MovesOutputs() &&
		(t.ModeKnown || len(v.ModeChannels) == 0) && (f.Switched == 0 || o.Wire.Sub(f.Switched) > modeCalm)
}

// begin collects afresh.
func (f *OutputFollows) begin(mode string, v *base.View) {
	f.Began, f.Mode = true, mode
	f.Log.Begin(leadChannels(v.Sheet))
	for i := range f.Outputs.List {
		w := &f.Outputs.List[i]
		w.Wait, w.Count, w.Reach = followWait, 0, 0
	}
}

// due reports whether another fit of an output is worth while, where all channels together
// have moved so far.
func (f *OutputFollows) due(w *outputFit, reach unit.Width, now unit.Time) bool {
	fresh := f.Log.Count - w.Count
	if fresh < followEpisodes || f.Log.Opened && fresh < followRestless || now.Sub(w.Fitted) < followWait {
		return false
	}
	return now.Sub(w.Fitted) >= w.Wait || reach-w.Reach >= followMoved
}

// reach is how far all channels together have moved, from end to end.
func (f *OutputFollows) reach() (sum unit.Width) {
	for i := range f.Log.Channels {
		sum += f.Log.Moved(i)
	}
	return sum
}

// lastReport is what was reported of an output in the mode asked for, nil for nothing.
func (f *OutputFollows) lastReport(output int) *followsReport {
	for i := range f.Reports {
		if t := &f.Reports[i]; t.Output == output && t.Data.Mode == f.Mode {
			return t
		}
	}
	return nil
}

func term(list []event.MixTerm, channel int) (event.MixTerm, bool) {
	for _, t := range list {
		if t.Channel == channel {
			return t, true
		}
	}
	return event.MixTerm{}, false
}

// fit looks at an output and reports what is new.
func (f *OutputFollows) fit(w *outputFit, o *event.Observation, v *base.View, emit event.Emit) {
	hint := w.Delay
	if w.Wait == followWait {
		hint = -1 // what was just reported may have come from little
	}
	fit, ok := f.Log.Fit(w.Output, w.From, hint)
	w.Fitted, w.Count, w.Wait = o.At, f.Log.Count, min(2*w.Wait, followLongest)
	if ok && len(fit.Terms) > 0 {
		w.Delay = fit.Delay
		v.Taps[f.Tap].SetFit(base.OutputFit{Output: w.Output, Mode: f.Mode, Fit: fit})
		d := f.data(w.Output, &fit, v)
		if told := f.lastReport(w.Output); told == nil || isNews(&told.Data, &d) {
			w.Wait = followWait
			f.keep(followsReport{w.Output, o.At, d})
			emit(event.OutputFollows, fit.From, event.AboutOutput.Numbered(w.Output), d)
		}
	}
	w.Reach = f.reach()
}

func (f *OutputFollows) keep(n followsReport) {
	if t := f.lastReport(n.Output); t != nil {
		*t = n
		return
	}
	f.Reports = append(f.Reports, n)
}

func (f *OutputFollows) data(output int, fit *mix.Fit, v *base.View) event.OutputFollowsData {
	d := event.OutputFollowsData{
		Tap: v.Taps[f.Tap].Name, Bus: v.Taps[v.FirstBus()].Name, Mode: f.Mode,
		NeutralNS: fit.Neutral, LowNS: fit.Low.Width, HighNS: fit.High.Width, LeastNS: fit.Least, MostNS: fit.Most,
		DeadNS: fit.Dead, DelayNS: max(0, fit.Delay), OffNS: fit.Off, Samples: fit.Samples, Unmoved: []int{},
	}
	for _, t := range fit.Terms {
		d.Terms = append(d.Terms, event.MixTerm{Channel: t.Channel, PPM: t.PPM, HalfIntervalPPM: t.HalfInterval})
	}
	for _, n := range fit.Unmoved {
		if c, ok := v.Sheet.Channel(n); ok && (free(c) || moves(v.Sheet, output, n)) {
			d.Unmoved = append(d.Unmoved, n)
		}
	}
	return d
}

// isNews reports whether there is something to report that was not reported before.
func isNews(was, now *event.OutputFollowsData) bool {
	if was.LowNS == 0 && now.LowNS != 0 || was.HighNS == 0 && now.HighNS != 0 ||
		was.LeastNS-now.LeastNS >= followRange || now.MostNS-was.MostNS >= followRange {
		return true
	}
	for _, t := range now.Terms {
		before, ok := term(was.Terms, t.Channel)
		if !ok || unit.Abs(t.PPM-before.PPM) > max(t.HalfIntervalPPM, before.HalfIntervalPPM)+followSlope {
			return true
		}
	}
	return false
}

// free reports a channel that a hand moves over its whole range.
func free(c *sheet.Channel) bool {
	return c.Kind == sheet.Stick || c.Kind == sheet.Throttle || c.Kind == sheet.Knob
}

// moves reports whether the sheet lets a channel move an output.
func moves(s *sheet.Sheet, output, channel int) bool {
	for i := range s.Outputs {
		for _, m := range s.Outputs[i].MovedBy {
			if s.Outputs[i].Number == output && m.Channel == channel {
				return true
			}
		}
	}
	return false
}

// leadChannels are those that may move an output. Where a channel has no neutral,
// its first place stands for it: a throttle's cut, a switch's first position.
func leadChannels(s *sheet.Sheet) (list []mix.Channel) {
	for i := range s.Channels {
		c := &s.Channels[i]
		if s.Digital(c.Number) || !free(c) && c.Kind != sheet.Switch && !movesAny(s, c.Number) {
			continue
		}
		n := mix.Channel{Number: c.Number, Neutral: c.Neutral, Centred: c.Kind == sheet.Stick && c.Neutral != 0}
		if n.Neutral == 0 && len(c.Places) > 0 {
			n.Neutral = c.Places[0].Width
		}
		list = append(list, n)
	}
	return list
}

func movesAny(s *sheet.Sheet, channel int) bool {
	for i := range s.Outputs {
		if moves(s, s.Outputs[i].Number, channel) {
			return true
		}
	}
	return false
}

package leads

import (
	"slices"
	"sort"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	clipFlat    = 2_500  // ns about a limit within which an output stands flat
	clipLeft    = 20_000 // ns from it at which the visit is over
	clipBeyond  = 10_000 // ns that the channels must surely go on, at a limit that a fit found
	clipFor     = 80 * unit.Millisecond
	clipWatched = 500 * unit.Millisecond // then it is reported how far they went
	clipFrames  = 33                     // kept: more than the longest delay at clipThin
	clipThin    = 5 * unit.Millisecond
	outAway     = 2     // pulses away from a limit that leave it: a single odd one does not
	clipSame    = 5_000 // ns: a channel that moved the output by less did not go on
)

// OutputClip reports when the receiver cuts an output off: it stands flat at an end
// while the channels that move it go on. What those would have made of it comes from
// what Follows found, so a wrong mix is no clip; an end that the transmitter cuts
// off is none either, since there the channels stand too. The limit that a fit
// came upon is reported at once, each later visit when it was seen how far it went.
//
//	    ____ the sum of the channels
//	   /    \
//	  /______\   limit: the output
//	 /        \
//	/          \
//	 ^ entered  ^ left
type OutputClip struct {
	Tap    uint8
	Heard  unit.Time // wire time of the last frame
	Frames []int64   // the latest: wire time, then the widths of the channels
	Ends   []clipEnd // by output, then lower before upper

	channels []mix.Channel // of the sheet
	widths   []unit.Width  // of the frame under judgement
}

// clipEnd is one end of an output.
type clipEnd struct {
	Output   int
	Upper    bool
	Reported bool   // the limit that the fit came upon
	Mode     string // in which mode

	Inside bool         // a visit
	From   unit.Time    // since the sum is beyond; 0: not yet
	Date   unit.Time    // of that
	Last   unit.Time    // date of the latest pulse at the limit
	Away   int          // pulses since that were elsewhere
	Beyond unit.Width   // most, ns
	Least  []unit.Width // of each channel, since it stands at the limit
	Most   []unit.Width
	Far    []unit.Width // of each channel, where Beyond was
	Done   bool         // reported
}

// See implements Watcher.
func (c *OutputClip) See(o *event.Observation, v *base.View, emit event.Emit) {
	if c.channels == nil {
		c.channels = leadChannels(v.Sheet)
	}
	bus := v.FirstBus()
	switch {
	case bus == 0:
	case o.Tap == c.Tap && o.Kind == event.PulseSeen:
		c.pulse(o, v, emit)
	case base.Judgeable(o, bus):
		c.frame(o, bus, v)
	case base.TapClosed(o, c.Tap) || base.TapClosed(o, bus) || v.Anew(o) != "":
		*c = OutputClip{Tap: c.Tap}
	}
}

func (c *OutputClip) frame(o *event.Observation, bus uint8, v *base.View) {
	if t := &v.Taps[bus]; base.SignalOf(o.Frame) != event.SignalLive || t.Suspect || t.Loss != "" || v.Plan().MovesOutputs() ||
		o.Wire.Sub(c.Heard) > base.MaxFrameStep {
		c.Frames = c.Frames[:0]
	}
	row := 1 + len(c.channels)
	n := len(c.Frames)
	c.Heard = o.Wire
	if n > 0 && o.Wire.Sub(unit.Time(c.Frames[n-row])) < clipThin {
		return
	}
	if n == clipFrames*row {
		c.Frames = c.Frames[:copy(c.Frames, c.Frames[row:])]
	}
	c.Frames = append(c.Frames, int64(o.Wire))
	for i := range c.channels {
		c.Frames = append(c.Frames, int64(base.Width(v.Sheet, o.Frame, c.channels[i].Number)))
	}
}

func (c *OutputClip) pulse(o *event.Observation, v *base.View, emit event.Emit) {
	if f := v.Taps[c.Tap].FitOf(o.Pulse.Output); f != nil && f.Mode == v.Taps[v.FirstBus()].Mode {
		c.end(o, f, &f.Fit.Low, false, emit)
		c.end(o, f, &f.Fit.High, true, emit)
	}
}

// end looks at one end of an output whose limit is known.
func (c *OutputClip) end(o *event.Observation, f *base.OutputFit, limit *mix.Limit, upper bool, emit event.Emit) {
	if limit.Width == 0 {
		return
	}
	e := c.of(f.Output, upper)
	if !e.Reported || e.Mode != f.Mode {
		*e = clipEnd{Output: f.Output, Upper: upper, Reported: true, Mode: f.Mode}
		e.report(limit.At, limit, limit.Beyond, limit.Channels, emit)
		e.Inside, e.Done = true, true // it may be there still
	}
	off := unit.Abs(o.Pulse.Width - limit.Width)
	beyond, row := c.beyond(o, f, limit, upper)
	if off > clipLeft {
		e.Away++
	} else {
		e.Away = 0
	}
	switch {
	case e.Away >= outAway && e.Inside: // a single odd pulse is no leaving
		c.leave(e, f, limit, emit)
		*e = clipEnd{Output: e.Output, Upper: upper, Reported: true, Mode: e.Mode, Least: e.Least, Most: e.Most, Far: e.Far}
	case off <= clipFlat && row != nil:
		e.visit(o, beyond, row)
		if e.From != 0 && o.At.Sub(e.Date) >= clipWatched {
			c.leave(e, f, limit, emit)
		}
	}
}

func (c *OutputClip) of(output int, upper bool) *clipEnd {
	at, ok := sort.Find(len(c.Ends), func(i int) int {
		switch e := &c.Ends[i]; {
		case e.Output != output:
			return output - e.Output
		case e.Upper == upper:
			return 0
		case upper:
			return 1
		}
		return -1
	})
	if !ok {
		c.Ends = slices.Insert(c.Ends, at, clipEnd{Output: output, Upper: upper})
	}
	return &c.Ends[at]
}

// beyond is how much farther than its limit the channels would take an output, and
// the channels as they were when it was decided. What is not sure does not count.
func (c *OutputClip) beyond(o *event.Observation, f *base.OutputFit, limit *mix.Limit, upper bool) (unit.Width, []unit.Width) {
	at := o.Wire.Add(-o.Pulse.Width.Duration() - f.Fit.Delay)
	row := 1 + len(c.channels)
	i := len(c.Frames) - row
	for i >= 0 && unit.Time(c.Frames[i]) > at {
		i -= row
	}
	if i < 0 {
		return 0, nil
	}
	c.widths = c.widths[:0]
	for _, w := range c.Frames[i+1 : i+row] {
		c.widths = append(c.widths, unit.Width(w))
	}
	sum, unsure := f.Fit.Sum-limit.Width, 3*f.Fit.Off
	for k := range c.channels {
		by := c.widths[k] - c.channels[k].Neutral
		t := termOf(&f.Fit, c.channels[k].Number)
		sum += by.Share(t.PPM)
		unsure += unit.Abs(by).Share(t.HalfInterval)
	}
	if !upper {
		sum = -sum
	}
	return sum - unsure, c.widths
}

// termOf is what a channel does to an output, reported or not; nothing if it never moved.
func termOf(f *mix.Fit, channel int) mix.Term {
	for _, list := range [][]mix.Term{f.Terms, f.Open} {
		for _, t := range list {
			if t.Channel == channel {
				return t
			}
		}
	}
	return mix.Term{}
}

// visit goes on with one, or begins it.
func (e *clipEnd) visit(o *event.Observation, beyond unit.Width, widths []unit.Width) {
	if !e.Inside {
		e.Inside, e.From, e.Beyond = true, 0, 0
		e.Least, e.Most = append(e.Least[:0], widths...), append(e.Most[:0], widths...)
	}
	if e.Done {
		return
	}
	for i, w := range widths {
		e.Least[i], e.Most[i] = min(e.Least[i], w), max(e.Most[i], w)
	}
	if e.Last = o.At; beyond > e.Beyond {
		e.Beyond, e.Far = beyond, append(e.Far[:0], widths...)
	}
	if beyond >= clipBeyond && e.From == 0 {
		e.From, e.Date = o.Wire, o.At
	}
}

// leave reports a visit in which the channels went far enough for long enough.
func (c *OutputClip) leave(e *clipEnd, f *base.OutputFit, limit *mix.Limit, emit event.Emit) {
	if e.Done || e.From == 0 || e.Last.Sub(e.Date) < clipFor {
		return
	}
	e.Done = true
	e.report(e.From, limit, e.Beyond, c.went(e, f), emit)
}

// went are the channels that went on while the output stood. One that was at its end
// before a pulse showed it did too: then it is those that push hardest.
func (c *OutputClip) went(e *clipEnd, f *base.OutputFit) (list []int) {
	most := unit.Width(0)
	for i := range c.channels {
		most = max(most, c.push(i, e, f))
		if unit.Abs((e.Most[i] - e.Least[i]).Share(termOf(&f.Fit, c.channels[i].Number).PPM)) >= clipSame {
			list = append(list, c.channels[i].Number)
		}
	}
	if len(list) > 0 {
		return list
	}
	for i := range c.channels {
		if c.push(i, e, f) > most/2 {
			list = append(list, c.channels[i].Number)
		}
	}
	return list
}

// push is by how much a channel takes the output towards its limit, ns.
func (c *OutputClip) push(i int, e *clipEnd, f *base.OutputFit) unit.Width {
	by := (e.Far[i] - c.channels[i].Neutral).Share(termOf(&f.Fit, c.channels[i].Number).PPM)
	if !e.Upper {
		return -by
	}
	return by
}

func (e *clipEnd) report(from unit.Time, limit *mix.Limit, beyond unit.Width, channels []int, emit event.Emit) {
	emit(event.OutputClipped, from, event.AboutOutput.Numbered(e.Output),
		event.OutputClipData{WidthNS: limit.Width, BeyondNS: beyond, Upper: e.Upper, Channels: channels})
}

package leads

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	travelSettles = 300 * unit.Millisecond // from channels at their ends until the output is looked at: it follows later, and a servo's filter with it
	travelLooked  = 500 * unit.Millisecond // for so long
	travelPulses  = 10                     // in which there are as many pulses at least
	travelSteady  = 10_000                 // ns that the output strays in them at most
	travelStray   = 5_000                  // ns that a channel may stray and stand: a hand at a stop
	beyondPulses  = 4                      // in a row: fewer may be glitches
	beyondHeld    = 500 * unit.Millisecond // what moves it has stood for so long
)

// OutputTravel holds outputs against the travel that the sheet wants of them. It reports
// where one stands with each channel that moves it at the place that takes it farthest to a
// side, and each run of pulses beyond what is wanted: once what moves it stands, else when
// it is over. While the signal is gone, or the model is tilted as a drill asks, it looks
// at nothing.
//
//	to   ..................____________.....
//	stick              ___/ at its end \___
//	output    ________/        ^ reached
type OutputTravel struct {
	Tap     uint8
	Heard   unit.Time      // date of the latest frame that may be judged; 0: none
	Mode    string         // asked for in it
	Outputs []outputTravel // those of the sheet with a travel, in its order

	wanted []*sheet.Output
}

type outputTravel struct {
	Side    int       // to which all that moves it has it go, 1 or -1; 0: to neither
	Since   unit.Time // wire time
	Looked  unit.Time // when looking began, 0: not yet
	Pulses  int       // then
	Least   unit.Width
	Most    unit.Width
	Reached bool // reported, or nobody saw how its channels came there

	Moved  unit.Time // when a channel that moves it moved last, wire time
	Widths []unit.Width
	Run    event.OutputBeyondData // the run under way
	From   unit.Time
	Told   bool
}

// See implements Watcher.
func (w *OutputTravel) See(o *event.Observation, v *base.View, emit event.Emit) {
	b := v.FirstBus()
	if w.wanted == nil {
		w.wanted = travelled(v.Sheet)
	}
	if w.Outputs == nil {
		w.Outputs = make([]outputTravel, len(w.wanted))
	}
	switch {
	case len(w.wanted) == 0 || b == 0:
	case base.TapClosed(o, w.Tap) || base.TapClosed(o, b) || v.Anew(o) != "":
		w.stop(emit)
	case base.Judgeable(o, b):
		w.frame(o, &v.Taps[b], v, emit)
	case o.Tap == w.Tap && o.Kind == event.PulseSeen:
		w.pulse(o, v, emit)
	}
}

// travelled are the outputs of which the sheet wants a travel.
func travelled(s *sheet.Sheet) []*sheet.Output {
	list := []*sheet.Output{}
	for i := range s.Outputs {
		if s.Outputs[i].Travel != nil {
			list = append(list, &s.Outputs[i])
		}
	}
	return list
}

// stop ends all that is under way: nothing is known to go on.
func (w *OutputTravel) stop(emit event.Emit) {
	for i := range w.Outputs {
		w.Outputs[i].ended(w.wanted[i], emit)
		w.Outputs[i] = outputTravel{}
	}
	w.Heard = 0
}

func (w *OutputTravel) frame(o *event.Observation, tap *base.Tap, v *base.View, emit event.Emit) {
	signal := base.SignalOf(o.Frame)
	if signal == event.SignalMissed {
		return
	}
	if signal != event.SignalLive || tap.Suspect || tap.Loss != "" || !settled(tap, v) || v.Plan().MovesOutputs() || !tap.Linked {
		w.stop(emit)
		return
	}
	if w.Heard == 0 || o.At.Sub(w.Heard) > base.MaxFrameStep || w.Mode != tap.Mode {
		w.stop(emit)
	}
	w.Heard, w.Mode = o.At, tap.Mode
	for i := range w.Outputs {
		w.Outputs[i].channels(w.wanted[i], o, v)
	}
}

// channels follows what moves an output.
func (l *outputTravel) channels(out *sheet.Output, o *event.Observation, v *base.View) {
	first := len(l.Widths) == 0
	if first {
		l.Widths, l.Moved = make([]unit.Width, len(out.MovedBy)), o.Wire
	}
	side := 0
	for i := range out.MovedBy {
		m := &out.MovedBy[i]
		width := base.Width(v.Sheet, o.Frame, m.Channel)
		if unit.Abs(width-l.Widths[i]) > travelStray {
			l.Widths[i], l.Moved = width, o.Wire
		}
		if !m.Find || len(out.MovedBy) == 1 { // else nobody knows which of them go together
			side += pushes(v.Sheet, m, width)
		}
	}
	switch n := len(out.MovedBy); side {
	case n, -n:
		side /= max(n, 1)
	default:
		side = 0
	}
	if side != l.Side {
		l.Side, l.Since, l.Looked, l.Reached = side, o.Wire, 0, first
	}
}

// pushes is 1 for a channel that stands where it takes an output farthest to the wide side,
// by the sheet's sign, -1 for one to the narrow side, 0 for one that stands elsewhere.
// Where the sheet leaves the sign open one channel alone shows which side it is.
func pushes(s *sheet.Sheet, m *sheet.Movement, width unit.Width) int {
	c, ok := s.Channel(m.Channel)
	if !ok || len(c.Places) == 0 {
		return 0
	}
	least, most := placesSpan(c)
	way := 1
	if m.Weight < 0 {
		way = -1
	}
	switch tolerance := s.Tolerance.Position; {
	case most-least <= 2*tolerance:
		return 0
	case width >= most-tolerance:
		return way
	case width <= least+tolerance:
		return -way
	}
	return 0
}

// placesSpan are the narrowest and the widest place of a channel that has some.
func placesSpan(c *sheet.Channel) (least, most unit.Width) {
	least, most = c.Places[0].Width, c.Places[0].Width
	for _, p := range c.Places {
		least, most = min(least, p.Width), max(most, p.Width)
	}
	return least, most
}

func (w *OutputTravel) pulse(o *event.Observation, v *base.View, emit event.Emit) {
	i := slices.IndexFunc(w.wanted, func(out *sheet.Output) bool { return out.Number == o.Pulse.Output })
	if i < 0 || w.Heard == 0 {
		return
	}
	if o.At.Sub(w.Heard) > base.MaxFrameStep {
		w.stop(emit)
		return
	}
	l, out := &w.Outputs[i], w.wanted[i]
	l.reached(out, o, w.Mode, emit)
	l.beyond(out, o, w, v, emit)
}

// reached looks at an output whose channels all stand where they take it farthest.
func (l *outputTravel) reached(out *sheet.Output, o *event.Observation, mode string, emit event.Emit) {
	if l.Side == 0 || l.Reached || o.Wire.Sub(l.Since) < travelSettles {
		return
	}
	width := o.Pulse.Width
	if l.Looked == 0 || max(l.Most, width)-min(l.Least, width) > travelSteady {
		l.Looked, l.Pulses, l.Least, l.Most = o.Wire, 0, width, width
	}
	l.Pulses++
	l.Least, l.Most = min(l.Least, width), max(l.Most, width)
	if l.Pulses < travelPulses || o.Wire.Sub(l.Looked) < travelLooked {
		return
	}
	l.Reached = true
	stood := (l.Least + l.Most) / 2
	d := event.OutputReachedData{WidthNS: stood, Upper: stood > (out.Travel.From+out.Travel.To)/2, Mode: mode, ForNS: o.Wire.Sub(l.Looked)}
	d.WantedNS = out.Travel.Wanted(d.Upper)
	if d.ShortNS = stood - d.WantedNS; d.Upper {
		d.ShortNS = -d.ShortNS
	}
	emit(event.OutputReached, l.Looked, outputAbout(out.Number), d)
}

// beyond goes on with a run of pulses beyond what is wanted, begins one, or ends it.
func (l *outputTravel) beyond(out *sheet.Output, o *event.Observation, w *OutputTravel, v *base.View, emit event.Emit) {
	width, tolerance := o.Pulse.Width, v.Sheet.Tolerance.Position
	upper, lower := width > out.Travel.To+tolerance, width < out.Travel.From-tolerance
	if !upper && !lower || l.Run.Upper != upper {
		l.ended(out, emit)
	}
	if !upper && !lower {
		return
	}
	r := &l.Run
	if r.Pulses == 0 {
		*r, l.From, l.Told = event.OutputBeyondData{WidthNS: width, WantedNS: out.Travel.Wanted(upper), Upper: upper, Past: []int{}, Mode: w.Mode}, o.Wire, false
	}
	if r.Pulses++; unit.Abs(width-r.WantedNS) > unit.Abs(r.WidthNS-r.WantedNS) {
		r.WidthNS = width
	}
	r.ForNS = o.Wire.Sub(l.From)
	l.past(out, v)
	since := max(l.Moved, l.From)
	if r.Pulses >= beyondPulses && !l.Told && o.Wire.Sub(since) >= beyondHeld {
		r.Held, l.Told = true, true
		emit(event.OutputBeyond, l.From, outputAbout(out.Number), *r)
	}
}

// past notes the channels that stand past their own ends of the sheet.
func (l *outputTravel) past(out *sheet.Output, v *base.View) {
	for i, m := range out.MovedBy {
		c, ok := v.Sheet.Channel(m.Channel)
		if !ok || len(c.Places) == 0 || i >= len(l.Widths) || slices.Contains(l.Run.Past, m.Channel) {
			continue
		}
		least, most := placesSpan(c)
		if tolerance := v.Sheet.Tolerance.Position; l.Widths[i] < least-tolerance || l.Widths[i] > most+tolerance {
			l.Run.Past = append(l.Run.Past, m.Channel)
		}
	}
}

// ended ends a run, and reports it where nothing was said of it.
func (l *outputTravel) ended(out *sheet.Output, emit event.Emit) {
	if l.Run.Pulses >= beyondPulses && !l.Told {
		emit(event.OutputBeyond, l.From, outputAbout(out.Number), l.Run)
	}
	l.Run, l.Told = event.OutputBeyondData{}, false
}

package leads

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// Servo pulses are 700 to 2300 µs wide; others are faults or something else on the
	// wire, unless the sheet says narrow ones (common practice).
	narrowest = 700_000
	broadest  = 2_300_000
	oddMargin = 100_000 // beyond what the sheet's own widths ask for: mixes and trims add to them
	oddPulses = 3       // in a row: fewer may be a glitch
	oddFirst  = unit.Second
	oddApart  = 10               // apart from each other, within oddLong: more than glitches
	oddLong   = 10 * unit.Second // a run that goes on is reported after the first of these, then in pieces of the other

	pacedPulses = 32
	pacedGrain  = 10 * unit.Microsecond // what the announced period is rounded to
)

// OutputWidth says when an output sends pulses that no servo is sent, in a row or ten
// apart from each other within 10 s, and how often its pulses come: once that is known,
// and when it is longer, or shorter, by more than a twentieth for 32 pulses in a row.
//
//	2300 µs ......._____...............
//	_______________     \______________
//	               ^ onset ^ output.odd
type OutputWidth struct {
	Tap     uint8
	Outputs event.ByOutput[widthState]

	bounds []widthBounds // of the sheet
}

type widthState struct {
	Output   int
	Odd      event.OutputOddData // the run under way
	First    unit.Time
	Last     unit.Time
	Reported bool // a piece of it

	Apart event.OutputOddData // odd pulses that made no run
	Began unit.Time           // with the first of those

	Said    unit.Duration   // period, 0: nothing yet
	Periods []unit.Duration // in a row, that are not as said
	Since   unit.Time       // of those
}

type widthBounds struct {
	output      int
	least, most unit.Width
}

// See implements Watcher.
func (w *OutputWidth) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, w.Tap):
		w.ended(unit.Never, emit)
	case o.Tap != w.Tap:
	case o.Kind == event.BoardStatus:
		w.ended(o.At, emit)
	case o.Kind == event.PulseSeen:
		if w.bounds == nil {
			w.bounds = boundsOf(v.Sheet)
		}
		l := w.of(o.Pulse.Output)
		l.width(o, w.bounds, emit)
		if o.Pulse.Period != 0 {
			l.period(o, emit)
		}
	}
}

// ended ends runs that no pulse ends: the output is silent since a second, or nobody
// listens any more.
func (w *OutputWidth) ended(at unit.Time, emit event.Emit) {
	for i := range w.Outputs.List {
		l := &w.Outputs.List[i]
		if at.Sub(l.Last) > unit.Second {
			l.report(emit)
			l.Periods = l.Periods[:0]
		}
	}
}

func (w *OutputWidth) of(output int) *widthState {
	if l := w.Outputs.Of(output); l != nil {
		return l
	}
	return w.Outputs.Add(output, widthState{Output: output, Periods: make([]unit.Duration, 0, pacedPulses)})
}

func (l *widthState) width(o *event.Observation, bounds []widthBounds, emit event.Emit) {
	least, most := unit.Width(narrowest), unit.Width(broadest)
	for _, b := range bounds {
		if b.output == l.Output {
			least, most = b.least, b.most
		}
	}
	width := o.Pulse.Width
	if width >= least && width <= most {
		l.report(emit)
		l.Last = o.Wire
		return
	}
	if l.Odd.Pulses == 0 {
		l.First, l.Odd = o.Wire, event.OutputOddData{LeastNS: width, MostNS: width}
	}
	l.Last = o.Wire
	l.Odd.Pulses++
	l.Odd.LeastNS, l.Odd.MostNS = min(l.Odd.LeastNS, width), max(l.Odd.MostNS, width)
	l.Odd.SpanNS = o.Wire.Sub(l.First)
	if l.Odd.SpanNS >= oddLong || l.Odd.SpanNS >= oddFirst && !l.Reported {
		l.report(emit)
		l.Reported = true
	}
}

// report ends a run, or a piece of one.
func (l *widthState) report(emit event.Emit) {
	if l.Odd.Pulses >= oddPulses {
		emit(event.OutputOdd, l.First, outputAbout(l.Output), l.Odd)
	} else if l.Odd.Pulses > 0 && !l.Reported {
		l.apart(emit)
	}
	l.Odd, l.Reported = event.OutputOddData{}, false
}

// apart counts odd pulses that stand alone, and reports when there are too many.
func (l *widthState) apart(emit event.Emit) {
	a := &l.Apart
	if a.Pulses == 0 || l.First.Sub(l.Began) > oddLong {
		*a, l.Began = event.OutputOddData{LeastNS: l.Odd.LeastNS, MostNS: l.Odd.MostNS}, l.First
	}
	a.Pulses += l.Odd.Pulses
	a.LeastNS, a.MostNS = min(a.LeastNS, l.Odd.LeastNS), max(a.MostNS, l.Odd.MostNS)
	a.SpanNS = l.First.Sub(l.Began)
	if a.Pulses >= oddApart {
		emit(event.OutputOdd, l.Began, outputAbout(l.Output), *a)
		*a = event.OutputOddData{}
	}
}

func (l *widthState) period(o *event.Observation, emit event.Emit) {
	p := o.Pulse.Period
	if l.Said != 0 && unit.Abs(p-l.Said) <= l.Said/20 {
		l.Periods = l.Periods[:0]
		return
	}
	if len(l.Periods) > 0 && (p > l.Said) != (l.Periods[0] > l.Said) { // shorter and longer ones in turn
		l.Periods = l.Periods[:0]
	}
	if len(l.Periods) == 0 {
		l.Since = o.Wire
	}
	l.Periods = append(l.Periods, p)
	if len(l.Periods) < pacedPulses {
		return
	}
	slices.Sort(l.Periods)
	median := l.Periods[pacedPulses/2]
	l.Periods = l.Periods[:0]
	now := (median + pacedGrain/2) / pacedGrain * pacedGrain
	emit(event.OutputPaced, l.Since, outputAbout(l.Output), event.PeriodData{PeriodNS: now, WasNS: l.Said})
	l.Said = max(now, 1)
}

// boundsOf are those of outputs of which the sheet says that other widths move them.
func boundsOf(s *sheet.Sheet) []widthBounds {
	list := []widthBounds{}
	for i := range s.Outputs {
		b := widthBounds{s.Outputs[i].Number, narrowest, broadest}
		for _, m := range s.Outputs[i].MovedBy {
			if c, ok := s.Channel(m.Channel); ok {
				b.widen(c)
			}
		}
		if b.least != narrowest || b.most != broadest {
			list = append(list, b)
		}
	}
	return list
}

func (b *widthBounds) widen(c *sheet.Channel) {
	widths := []unit.Width{}
	for _, p := range c.Places {
		widths = append(widths, p.Width)
	}
	if c.Neutral != 0 {
		widths = append(widths, c.Neutral)
	}
	for _, w := range widths {
		if w < narrowest {
			b.least = min(b.least, w-oddMargin)
		}
		if w > broadest {
			b.most = max(b.most, w+oddMargin)
		}
	}
}

package leads

import (
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	neutralRest   = 2 * unit.Second // nothing commands the outputs for this long
	neutralPulses = 50              // in a row, of which the middle one counts
	neutralSteady = 10_000          // ns that they may lie apart: a model that is moved makes more
	neutralNear   = 100_000         // ns about its neutral in which a stick is let go: what a flight phase adds, no hand that holds it
	neutralStands = 20_000          // ns by which a switch goes from one place to another at least
	neutralApart  = unit.Minute     // between two rests that are compared: between them nobody levelled anything
)

// OutputNeutral tells how far an output rests from where it rested before, when another mode
// is asked for or a switch stands elsewhere: sticks let go both times, the output still, and
// nothing else that moves it changed by hand. What was unplugged, restarted or reopened
// meanwhile is not compared.
//
//	mode      plain ______|~~~~~~ damping
//	output  ______________/~~~~~~~~~~~~~~
//	           ^ rests          ^ rests: output.shifted
type OutputNeutral struct {
	Tap     uint8
	Rest    outputRest
	Frame   bus.Counts // of the latest frame
	Outputs event.ByOutput[outputNeutral]
}

type outputNeutral struct {
	Output int
	Epoch  int
	Rise   unit.Duration // of the latest pulse, board clock, ns
	Widths []unit.Width  // in a row
	Seen   unit.Time     // since when nothing commanded what was looked at last
	Mode   string        // then
	Was    *neutralSeen  // the latest rest with sticks let go, nil for none
}

// neutralSeen is one rest of an output.
type neutralSeen struct {
	At     unit.Time // of its last pulse, wire time
	Mode   string
	Counts bus.Counts
	Width  unit.Width
}

// See implements Watcher.
func (n *OutputNeutral) See(o *event.Observation, v *base.View, emit event.Emit) {
	n.Rest.see(o, v, byDrill)
	switch b := v.FirstBus(); {
	case o.Tap == n.Tap && o.Kind == event.PulseSeen:
		if out, ok := v.Sheet.Output(o.Pulse.Output); ok {
			n.of(out.Number).pulse(out, o, n, v, emit)
		}
	case b != 0 && base.Judgeable(o, b):
		if base.SignalOf(o.Frame) == event.SignalLive {
			n.Frame = o.Frame.Counts
		}
	case base.TapClosed(o, n.Tap) || b != 0 && base.TapClosed(o, b) || v.Anew(o) != "":
		n.Outputs = event.ByOutput[outputNeutral]{}
	}
}

func (n *OutputNeutral) of(output int) *outputNeutral {
	if l := n.Outputs.Of(output); l != nil {
		return l
	}
	return n.Outputs.Add(output, outputNeutral{Output: output, Widths: make([]unit.Width, 0, neutralPulses)})
}

func (l *outputNeutral) pulse(out *sheet.Output, o *event.Observation, n *OutputNeutral, v *base.View, emit event.Emit) {
	p := o.Pulse
	switch hole := p.Rise - l.Rise; {
	case p.Epoch != l.Epoch || hole > unit.Second:
		l.Was, l.Widths = nil, l.Widths[:0]
	case hole > base.MaxFrameStep:
		l.Widths = l.Widths[:0]
	}
	l.Epoch, l.Rise = p.Epoch, p.Rise
	if n.Rest.lasts(o) < neutralRest {
		l.Widths = l.Widths[:0]
		return
	}
	if l.Seen == n.Rest.Since && l.Mode == n.Rest.Mode {
		return
	}
	l.Widths = append(l.Widths, p.Width)
	if len(l.Widths) < neutralPulses {
		return
	}
	slices.Sort(l.Widths)
	width, apart := l.Widths[neutralPulses/2], l.Widths[neutralPulses-1]-l.Widths[0]
	if l.Widths = l.Widths[:0]; apart > neutralSteady {
		return
	}
	l.Seen, l.Mode = n.Rest.Since, n.Rest.Mode
	l.rested(out, &neutralSeen{At: o.Wire, Mode: n.Rest.Mode, Counts: n.Frame, Width: width}, v, emit)
}

// rested compares a rest with the one before.
func (l *outputNeutral) rested(out *sheet.Output, now *neutralSeen, v *base.View, emit event.Emit) {
	if !letGo(v.Sheet, &now.Counts) {
		return
	}
	was := l.Was
	l.Was = now
	if was == nil || now.At.Sub(was.At) > neutralApart || moved(out, v.Sheet, was, now) {
		return
	}
	switches := switched(v.Sheet, was, now)
	if now.Mode == was.Mode && len(switches) == 0 {
		return
	}
	emit(event.OutputShifted, was.At, outputAbout(out.Number), event.OutputShiftedData{
		WidthNS: now.Width, WasNS: was.Width, AskedNS: asked(out, v.Sheet, was, now), Mode: now.Mode, WasMode: was.Mode,
		Switches: switches, ApartNS: now.At.Sub(was.At),
	})
}

// letGo reports that every stick that springs back stands where it is let go.
func letGo(s *sheet.Sheet, counts *bus.Counts) bool {
	for i := range s.Channels {
		c := &s.Channels[i]
		if c.Kind == sheet.Stick && c.Neutral != 0 && !s.Digital(c.Number) && unit.Abs(s.Width(counts[c.Number-1])-c.Neutral) > neutralNear {
			return false
		}
	}
	return true
}

// moved reports that a hand may have moved an output: by the throttle, a knob or a switch
// that moves it.
func moved(out *sheet.Output, s *sheet.Sheet, was, now *neutralSeen) bool {
	return slices.ContainsFunc(out.MovedBy, func(m sheet.Movement) bool {
		c, ok := s.Channel(m.Channel)
		return ok && c.Kind != sheet.Stick && unit.Abs(went(s, c, was, now)) > s.Tolerance.Position
	})
}

// went is how far a channel stands from where it stood, ns.
func went(s *sheet.Sheet, c *sheet.Channel, was, now *neutralSeen) unit.Width {
	if s.Digital(c.Number) {
		return 0
	}
	return s.Width(now.Counts[c.Number-1]) - s.Width(was.Counts[c.Number-1])
}

// switched are the channels of switches that stand at another place.
func switched(s *sheet.Sheet, was, now *neutralSeen) []int {
	list := []int{}
	for i := range s.Channels {
		c := &s.Channels[i]
		if (c.Kind == sheet.Switch || c.Kind == sheet.Momentary) && unit.Abs(went(s, c, was, now)) > neutralStands {
			list = append(list, c.Number)
		}
	}
	return list
}

// asked is what the channels that move an output ask for of a jump, by the sheet's weights.
func asked(out *sheet.Output, s *sheet.Sheet, was, now *neutralSeen) (sum unit.Width) {
	for _, m := range out.MovedBy {
		if c, ok := s.Channel(m.Channel); ok {
			sum += went(s, c, was, now).Share(m.Weight)
		}
	}
	return sum
}

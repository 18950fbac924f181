package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

// gapSettles is how many frames pass before a gap is told: a late read looks
// like a gap until the frames behind it come.
const gapSettles = 20

// Gap counts frames that never came although the bus went on: neither missed on
// the air (those come, flagged) nor damaged (those come, refused).
//
//	frames   | | |     | | | |
//	              ^ ^        ^ told, onset the frame before
type Gap struct {
	Tap     uint8
	Refused int64     // bytes refused since the last frame
	Wire    fact.Time // of the last frame
	Frames  int64     // missing, not told yet
	Wait    int       // frames until they are told
	From    fact.Time
	To      fact.Time
}

// See implements Watcher.
func (g *Gap) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case over(o, g.Tap):
		g.tell(v, emit)
	case o.Tap != g.Tap:
	case o.Kind == fact.Refused:
		g.Refused += o.Refused.Total()
	case o.Kind == fact.FrameSeen:
		g.frame(o, v, emit)
	}
}

func (g *Gap) frame(o *fact.Observation, v *View, emit fact.Emit) {
	missing := int64(o.Pace.Missing)
	if missing > 0 {
		missing = max(0, missing-(g.Refused+servobus.FrameLen/2)/servobus.FrameLen)
	}
	if missing != 0 && g.Wait == 0 {
		g.From = g.Wire
	}
	if missing != 0 {
		g.Frames += missing
		g.To = o.Wire
		g.Wait = gapSettles
	}
	g.Refused, g.Wire = 0, o.Wire
	if g.Wait > 0 {
		if g.Wait--; g.Wait == 0 {
			g.tell(v, emit)
		}
	}
}

func (g *Gap) tell(v *View, emit fact.Emit) {
	frames := g.Frames
	g.Frames, g.Wait = 0, 0
	if frames > 0 {
		emit(fact.WireGap, g.From, v.Taps[g.Tap].About(), fact.RunData{Frames: frames, SpanNS: g.To - g.From})
	}
}

// Due implements Watcher.
func (g *Gap) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (g *Gap) Expire(fact.Time, *View, fact.Emit) {}

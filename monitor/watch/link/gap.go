package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// gapSettles is how many frames pass before a gap is reported: a late read looks
// like a gap until the frames behind it come.
const gapSettles = 20

// mostLate is how many times as many frames must have come late as are still lacking for
// these to be nothing but a rounding: over a hole of seconds in the reading the bus's pace
// does not say to one frame how many there were.
const mostLate = 20

// Gap counts frames that never came although the bus went on: neither missed on
// the air (those come, flagged) nor damaged (those come, refused).
//
//	frames   | | |     | | | |
//	              ^ ^        ^ reported, onset the frame before
type Gap struct {
	Tap     uint8
	Refused int64     // bytes refused since the last frame
	Damaged int64     // frames that were refused lately and are not known to be lacking yet
	Shows   int       // frames until they are forgotten
	Wire    unit.Time // of the last frame
	Frames  int64     // missing, not reported yet
	Most    int64     // as many were missing at the most, before some came late
	Wait    int       // frames until they are reported
	From    unit.Time
	To      unit.Time
}

// See implements Watcher.
func (g *Gap) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, g.Tap):
		g.report(v, emit)
	case o.Tap != g.Tap:
	case o.Kind == event.BytesRefused:
		g.Refused += o.Refused.Total()
	case o.Kind == event.FrameSeen:
		g.frame(o, v, emit)
	}
}

func (g *Gap) frame(o *event.Observation, v *base.View, emit event.Emit) {
	missing := g.undamaged(int64(o.Pace.Missing), &o.Pace, v)
	if missing != 0 && g.Wait == 0 {
		g.From = g.Wire
	}
	if missing != 0 {
		g.Frames += missing
		g.Most = max(g.Most, g.Frames)
		g.To = o.Wire
		g.Wait = gapSettles
	}
	g.Refused, g.Wire = 0, o.Wire
	if g.Wait > 0 {
		if g.Wait--; g.Wait == 0 {
			g.report(v, emit)
		}
	}
}

// undamaged leaves out of the frames that are missing those that came, damaged.
func (g *Gap) undamaged(missing int64, p *event.Pace, v *base.View) int64 {
	if g.Shows--; g.Shows < 0 {
		g.Damaged = 0
	}
	frame := int64(v.Protocol.FrameLen)
	if n := (g.Refused + frame/2) / frame; n > 0 {
		g.Damaged, g.Shows = g.Damaged+n, showsBy(p)
	}
	hidden := max(0, min(missing, g.Damaged))
	g.Damaged -= hidden
	return missing - hidden
}

// showsBy is how many frames may come behind a damaged one, after the next, until it
// shows that one was lacking: not before those are read that an adapter hands over
// together, and the next such.
func showsBy(p *event.Pace) int { return int(2 * p.Clump / max(p.Period, 1)) }

func (g *Gap) report(v *base.View, emit event.Emit) {
	frames, late := g.Frames, g.Most-g.Frames
	g.Frames, g.Most, g.Wait = 0, 0, 0
	if frames > 0 && late < mostLate*frames {
		t := &v.Taps[g.Tap]
		t.Tally.GapFrames += frames
		t.Tally.GapRuns++
		emit(event.WireGap, g.From, t.About(), event.FramesMissingData{Frames: frames, SpanNS: g.To.Sub(g.From)})
	}
}

// Rests implements base.Sleeper: no gap waits to be reported.
func (g *Gap) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if g.Wait > 0 || g.Refused > 0 {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (g *Gap) Pass(n int, c base.Calm, _ *base.View) {
	if g.Shows -= n; g.Shows < 0 {
		g.Damaged = 0
	}
	g.Wire = c.Wire(0)
}

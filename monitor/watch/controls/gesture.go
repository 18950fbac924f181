package controls

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Gesture looks for a movement that starts something in a receiver: a channel
// that leaves a place, goes to another and comes back, so many times within so
// long. Four frames in a row make a visit; widths belong to places as they do for
// Position. What lies on the way, such as the middle of a lever, does not count; nor does
// a visit that was shorter than the sheet asks for, or with another control elsewhere.
//
//	pressed   +--+  +--+  +--+
//	          |  |  |  |  |  |
//	rest   ---+  +--+  +--+  +---
//	          ^ onset         ^ made
type Gesture struct {
	Tap   uint8
	Index int // of the gesture in the sheet

	Seen    int       // place that the latest frames are at, index in the sheet
	Frames  int       // in a row there
	Since   unit.Time // wire time of the first of them
	Last    unit.Time // and of the latest
	At      int       // place that was last believed; only with Known
	Known   bool
	Out     bool        // it has left
	Reached bool        // and was where it goes to
	Off     int         // frames in a row with another control elsewhere than it is to be
	Astray  bool        // there were enough of them since it left
	Left    unit.Time   // when it last left
	Leaves  []unit.Time // when it left, for each return so far, oldest first
}

// See implements Watcher.
func (g *Gesture) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, g.Tap) {
		g.Frames, g.Known, g.Out, g.Leaves = 0, false, false, nil
		return
	}
	if !base.Judgeable(o, g.Tap) || o.Frame.Failsafe() {
		return
	}
	want := &v.Sheet.Gestures[g.Index]
	c, ok := v.Sheet.Channel(want.Channel)
	if !ok {
		return
	}
	g.beside(want, o, v)
	zones := Position{Known: g.Known, Place: g.At}
	place := zones.nearest(c, base.Width(v.Sheet, o.Frame, want.Channel))
	if g.Frames == 0 || o.Wire.Sub(g.Last) > base.MaxFrameStep || place != g.Seen {
		g.Seen, g.Frames, g.Since = place, 0, o.Wire
	}
	g.Last = o.Wire
	if g.Frames++; g.Frames != base.MinFrames || g.Known && place == g.At {
		return
	}
	was, known := g.At, g.Known
	g.At, g.Known = place, true
	if known {
		g.moved(c, want, [2]string{c.Places[was].Name, c.Places[place].Name}, o.At, v, emit)
	}
}

// beside looks whether the other controls are where they are to be all the while.
func (g *Gesture) beside(want *sheet.Gesture, o *event.Observation, v *base.View) {
	off := slices.ContainsFunc(want.While, func(at sheet.Setting) bool {
		return unit.Abs(base.Width(v.Sheet, o.Frame, at.Channel)-at.Width) > v.Sheet.Tolerance.Position
	})
	if g.Off++; !off {
		g.Off = 0
	}
	g.Astray = g.Astray || g.Off >= base.MinFrames
}

// moved takes a change from one place to another.
func (g *Gesture) moved(c *sheet.Channel, want *sheet.Gesture, way [2]string, at unit.Time, v *base.View, emit event.Emit) {
	from, to := way[0], way[1]
	there := want.To == "" || to == want.To
	switch {
	case from == want.From:
		g.Out, g.Reached, g.Left, g.Astray = true, there, g.Since, g.Off >= base.MinFrames
	case to != want.From:
		g.Reached = g.Reached || there
	case g.Out && g.Reached && !g.Astray && g.Since.Sub(g.Left) >= want.Holds:
		g.Out = false
		g.returned(c, want, at, v, emit)
	default:
		g.Out = false
	}
}

// returned counts one time there and back.
func (g *Gesture) returned(c *sheet.Channel, want *sheet.Gesture, at unit.Time, v *base.View, emit event.Emit) {
	g.Leaves = append(g.Leaves, g.Left)
	if len(g.Leaves) > want.Times {
		g.Leaves = g.Leaves[1:]
	}
	first := g.Leaves[0]
	span := g.Since.Sub(first)
	if len(g.Leaves) < want.Times || span > want.Within {
		return
	}
	g.Leaves = nil
	t := &v.Taps[g.Tap]
	t.Made(want.Name, at)
	emit(event.GestureMade, first, event.AboutSwitch.Called(c.Name), event.GestureData{
		Tap: t.Name, Gesture: want.Name, Times: want.Times, SpanNS: span,
		Signal: t.Signal, Suspect: t.Suspect, InDrill: v.Drill == want.Name || slices.Contains(v.Plan().Gestures, want.Name),
	})
}

// Rests implements base.Sleeper: its place is believed.
func (g *Gesture) Rests(_ base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if g.Frames < base.MinFrames {
		return 0, 0
	}
	want := &v.Sheet.Gestures[g.Index]
	needs := base.SetOf(v.Protocol, want.Channel)
	for _, at := range want.While {
		needs |= base.SetOf(v.Protocol, at.Channel)
	}
	return needs, unit.Never
}

// Pass implements base.Sleeper.
func (g *Gesture) Pass(n int, c base.Calm, _ *base.View) {
	g.Frames += n
	if g.Off > 0 {
		g.Off += n
		g.Astray = g.Astray || g.Off >= base.MinFrames
	}
	g.Last = c.Wire(0)
}

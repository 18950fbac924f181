package controls

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Gesture looks for a movement that starts something in a receiver: a channel
// that leaves a place, goes to another and comes back, so many times within so
// long. Four frames in a row make a visit; widths belong to places as they do for
// Position. What lies on the way, such as the middle of a lever, does not count.
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
		g.moved(c, want, c.Places[was].Name, c.Places[place].Name, v, emit)
	}
}

// moved takes a change from one place to another.
func (g *Gesture) moved(c *sheet.Channel, want *sheet.Gesture, from, to string, v *base.View, emit event.Emit) {
	there := want.To == "" || to == want.To
	switch {
	case from == want.From:
		g.Out, g.Reached, g.Left = true, there, g.Since
	case to != want.From:
		g.Reached = g.Reached || there
	case g.Out && g.Reached:
		g.Out = false
		g.returned(c, want, v, emit)
	default:
		g.Out = false
	}
}

// returned counts one time there and back.
func (g *Gesture) returned(c *sheet.Channel, want *sheet.Gesture, v *base.View, emit event.Emit) {
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
	emit(event.GestureMade, first, event.AboutSwitch.Called(c.Name), event.GestureData{
		Tap: t.Name, Gesture: want.Name, Times: want.Times, SpanNS: span,
		Signal: t.Signal, Suspect: t.Suspect, InDrill: v.Drill == want.Name,
	})
}

// Rests implements base.Sleeper: its place is believed.
func (g *Gesture) Rests(_ base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if g.Frames < base.MinFrames {
		return 0, 0
	}
	return base.SetOf(v.Protocol, v.Sheet.Gestures[g.Index].Channel), unit.Never
}

// Pass implements base.Sleeper.
func (g *Gesture) Pass(n int, c base.Calm, _ *base.View) {
	g.Frames += n
	g.Last = c.Wire(0)
}

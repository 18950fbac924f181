package watch

import (
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// Gesture looks for a movement that starts something in a receiver: a channel
// that leaves a place and comes back to it, so many times within so long. Two
// frames in a row make a visit; widths belong to the nearest place.
//
//	pressed   +--+  +--+  +--+
//	          |  |  |  |  |  |
//	rest   ---+  +--+  +--+  +---
//	          ^ onset         ^ made
type Gesture struct {
	Tap   uint8
	Index int // of the gesture in the sheet

	Seen   int // place that the latest frames are at, index in the sheet
	Frames int // in a row there
	Since  fact.Time
	At     int // place that was last believed; only with Known
	Known  bool
	Out    bool        // it has left, for the place that counts
	Left   fact.Time   // when it last left
	Leaves []fact.Time // when it left, for each return so far, oldest first
}

// See implements Watcher.
func (g *Gesture) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, g.Tap) {
		g.Frames, g.Known, g.Out, g.Leaves = 0, false, false, nil
		return
	}
	if !judged(o, g.Tap) || o.Frame.Failsafe() {
		return
	}
	want := &v.Sheet.Gestures[g.Index]
	c, ok := v.Sheet.Channel(want.Channel)
	if !ok {
		return
	}
	place := nearestPlace(c, Width(v.Sheet, o.Frame, want.Channel))
	if g.Frames == 0 || place != g.Seen {
		g.Seen, g.Frames, g.Since = place, 0, o.Wire
	}
	if g.Frames++; g.Frames != twice || g.Known && place == g.At {
		return
	}
	was, known := g.At, g.Known
	g.At, g.Known = place, true
	if known {
		g.moved(c, want, c.Places[was].Name, c.Places[place].Name, o, v, emit)
	}
}

// moved takes a change from one place to another.
func (g *Gesture) moved(c *sheet.Channel, want *sheet.Gesture, from, to string, o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case from == want.From && (want.To == "" || to == want.To):
		g.Out, g.Left = true, g.Since
		return
	case !g.Out || to != want.From:
		g.Out = g.Out && want.To == "" // on to a third place: still away
		return
	}
	g.Out = false
	g.Leaves = append(g.Leaves, g.Left)
	if len(g.Leaves) > want.Times {
		g.Leaves = g.Leaves[1:]
	}
	span := g.Since - g.Leaves[0]
	if len(g.Leaves) < want.Times || int64(span) > want.Within {
		return
	}
	t := &v.Taps[g.Tap]
	first := g.Leaves[0]
	g.Leaves = nil
	emit(fact.GestureMade, first, "switch:"+c.Name, fact.GestureData{
		Tap: t.Name, Gesture: want.Name, Times: want.Times, SpanNS: span,
		Signal: t.Signal, Suspect: t.Suspect, InDrill: v.Drill == want.Name,
	})
}

// nearestPlace is the index of the place whose width is nearest.
func nearestPlace(c *sheet.Channel, w int64) int {
	best := 0
	for i := range c.Places {
		if abs(w-c.Places[i].Width) < abs(w-c.Places[best].Width) {
			best = i
		}
	}
	return best
}

// Due implements Watcher.
func (g *Gesture) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (g *Gesture) Expire(fact.Time, *View, fact.Emit) {}

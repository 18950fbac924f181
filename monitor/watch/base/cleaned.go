package base

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/unit"
)

// Cleaned takes out of a tap's frames what three frames or fewer have alone: each
// value is the middle one of seven frames, so it comes three frames late, with the
// wire time and the flags of its own frame. It reports no event: Stillness, Loss and
// PowerUp read what it has ready.
//
//	frames   .  .  .  x  .  .  .  .
//	ready             .  .  .  .  .   for each the one three frames before
type Cleaned struct {
	Tap    uint8
	Window []CleanFrame // the latest frames, oldest first
	Last   unit.Time    // wire time of the latest

	Ready []CleanFrame // by this observation
}

// CleanFrame is a cleaned frame. Its values are read where its own flags say that they
// are somebody's.
type CleanFrame struct {
	Wire   unit.Time
	Counts bus.Counts
	Flags  bus.Flags // of its own frame
	First  bool      // what was before it is not known
	Odd    bool      // its own values were others by far
}

// oddCounts is how far a frame's own values lie from the middle ones where it is a
// wrong frame, in quanta (50 µs): a hand that turns round at once lies nearer.
const oddCounts = 80

// NewCleaned makes the one of a tap; the other watchers of the view read from it.
func NewCleaned(v *View, tap uint8) *Cleaned {
	c := &Cleaned{Tap: tap}
	v.clean[tap] = c
	return c
}

// See implements Watcher.
func (c *Cleaned) See(o *event.Observation, v *View, _ event.Emit) {
	c.Ready = c.Ready[:0]
	switch {
	case TapClosed(o, c.Tap), o.Kind == event.InputBeat && !v.Taps[c.Tap].Locked:
		c.rest(v)
	case Judgeable(o, c.Tap):
		c.frame(o, v)
	}
}

func (c *Cleaned) frame(o *event.Observation, v *View) {
	if o.Wire.Sub(c.Last) > MaxFrameStep {
		c.rest(v)
	}
	c.Last = o.Wire
	first := len(c.Window) == 0
	if len(c.Window) == median.Window {
		c.Window = c.Window[:copy(c.Window, c.Window[1:])]
	}
	c.Window = append(c.Window, CleanFrame{Wire: o.Wire, Counts: o.Frame.Counts, Flags: o.Frame.Flags, First: first})
	if n := len(c.Window); n >= median.MinFrames {
		c.give(n-median.MinFrames, v)
	}
}

// rest gives the frames that no others come behind, and forgets all of them.
func (c *Cleaned) rest(v *View) {
	for i := max(0, len(c.Window)-median.Behind); i < len(c.Window); i++ {
		c.give(i, v)
	}
	c.Window = c.Window[:0]
}

// give makes the frame of an index ready.
func (c *Cleaned) give(i int, v *View) {
	s := c.Window[i]
	around := c.Window[max(0, i-median.Behind):min(len(c.Window), i+median.Behind+1)]
	if !same(around) {
		var column [median.Window]uint32
		for ch := range v.Protocol.Channels {
			for j := range around {
				column[j] = around[j].Counts[ch]
			}
			own := s.Counts[ch]
			s.Counts[ch] = median.Of(column[:len(around)])
			s.Odd = s.Odd || max(own, s.Counts[ch])-min(own, s.Counts[ch]) >= oddCounts*v.Quantum
		}
	}
	c.Ready = append(c.Ready, s)
}

func same(list []CleanFrame) bool {
	for i := 1; i < len(list); i++ {
		if list[i].Counts != list[0].Counts {
			return false
		}
	}
	return true
}

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
//
// The last three before a hole have fewer behind them, so that three wrong ones would
// outnumber those around them. They are held to the middle of all seven: a value that
// lies far from it is not believed.
type Cleaned struct {
	Tap    uint8
	Window []CleanFrame // the latest frames, oldest first
	Last   unit.Time    // wire time of the latest

	Ready []CleanFrame `json:"-"` // by this observation

	stood [median.Window - 1]ChannelSet // of the latest frames, oldest first: the channels known to stand as in the one before
	room  [4 * median.Window]CleanFrame // for Window, which goes along in it
	given [median.Window]CleanFrame     // for Ready, where a count is not the frame's own
}

// Cleaned is the wire time of the cleaned frame that was ready with the latest.
func (c Calm) Cleaned() unit.Time { return c.Wire(median.Behind) }

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
	c.Ready = c.given[:0]
	switch {
	case TapClosed(o, c.Tap), ReadLate(o, c.Tap), o.Kind == event.InputBeat && !v.Taps[c.Tap].Locked:
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
	copy(c.stood[:], c.stood[1:])
	c.stood[len(c.stood)-1] = 0
	if !first {
		c.stood[len(c.stood)-1] = ^Changed(&c.Window[len(c.Window)-1].Counts, &o.Frame.Counts)
	}
	c.push(CleanFrame{Wire: o.Wire, Counts: o.Frame.Counts, Flags: o.Frame.Flags, First: first})
	if n := len(c.Window); n >= median.MinFrames {
		c.give(n-median.MinFrames, v)
	}
}

func (c *Cleaned) push(s CleanFrame) {
	if len(c.Window) == median.Window {
		c.Window = c.Window[1:]
	}
	if len(c.Window) == cap(c.Window) {
		c.Window = c.room[:copy(c.room[:], c.Window)]
	}
	c.Window = append(c.Window, s)
}

// rest gives the frames that no others come behind, and forgets all of them.
func (c *Cleaned) rest(v *View) {
	for i := max(0, len(c.Window)-median.Behind); i < len(c.Window); i++ {
		c.give(i, v)
	}
	c.Window = c.Window[:0]
}

// Rests implements Sleeper: all frames of the window are alike. It is asked behind those that
// read what is ready, and wakes with the first of them.
func (c *Cleaned) Rests(calm Calm, _ *View) (ChannelSet, unit.Time) {
	if calm.Moved != 0 || len(c.Window) < median.Window {
		return 0, 0
	}
	return AllChannels, unit.Never
}

// Pass implements Sleeper.
func (c *Cleaned) Pass(_ int, calm Calm, _ *View) {
	for i := range c.Window {
		c.Window[i].Wire = calm.Wire(int64(len(c.Window) - 1 - i))
	}
	c.Last = calm.Wire(0)
	ready := len(c.Window) - median.MinFrames
	c.Ready = c.Window[ready : ready+1 : ready+1]
}

// give makes the frame of an index ready.
func (c *Cleaned) give(i int, v *View) {
	last := i+median.Behind >= len(c.Window)
	around := c.Window[max(0, i-median.Behind):min(len(c.Window), i+median.Behind+1)]
	seen := around
	if last {
		seen = c.Window
	}
	moving := ChannelSet(1)<<v.Protocol.Channels - 1 // channels that are not known to stand
	stand := AllChannels
	for _, stood := range c.stood[len(c.stood)-len(seen)+1:] {
		stand &= stood
	}
	if moving &^= stand; moving == 0 && len(c.Ready) == 0 {
		c.Ready = c.Window[i : i+1 : i+1]
		return
	}
	s := c.Window[i]
	for moving != 0 {
		ch := moving.Pop()
		own := s.Counts[ch]
		s.Counts[ch] = middle(around, ch)
		if last {
			if all := middle(seen, ch); far(all, s.Counts[ch], v) {
				s.Counts[ch] = all
			}
		}
		s.Odd = s.Odd || far(own, s.Counts[ch], v)
	}
	c.Ready = append(c.Ready, s)
}

// far reports that two counts are not of one movement, or that one of them is wrong.
func far(a, b uint32, v *View) bool { return max(a, b)-min(a, b) >= oddCounts*v.Quantum }

// middle is the middle count of a channel.
func middle(around []CleanFrame, ch int) uint32 {
	var column [median.Window]uint32
	for j := range around {
		column[j] = around[j].Counts[ch]
	}
	return median.Of(column[:len(around)])
}

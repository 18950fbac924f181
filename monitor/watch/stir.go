package watch

import (
	"math/bits"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	stirStill   = 300 * fact.Millisecond // all values stand so long
	stirWindow  = 12                     // frames: in so many
	stirChanges = 3                      // a stick in motion changes so often, packets being slower than frames,
	stirMotion  = 3 * stirWindow         // and covers so many counts,
	stirFull    = 6 * stirWindow         // in full motion so many
	stirMargin  = 24                     // counts that a freeze keeps from where a stick stops by itself
)

// stir looks for sticks that freeze in full motion. A hand that stops a stick
// slows down first; a stick that doesn't has met its stop or sprung back to its
// neutral. So what counts is a stick in full motion that had not slowed down by the
// very frame in which all sixteen channels stopped, and that stopped where sticks
// don't stop by themselves: off its places in the sheet, and short of the farthest
// that it ever went. It takes a second one in motion that stops in the same frame,
// not slowed down either, since one may do anything.
//
//	a hand   ____.-'''''      a freeze   ____/------
//	         slows down                  full speed, then nothing
type stir struct {
	Changed [servobus.Channels]uint16 // the latest frames, a bit each, newest lowest
	Went    [servobus.Channels]int64  // counts covered in them, older ones fading
	Least   [servobus.Channels]uint16 // the farthest that it ever went
	Most    [servobus.Channels]uint16
	Seen    bool // Least and Most are known

	Since  fact.Time // wire time since which all values stand
	Moving uint16    // channels that were in motion when they stopped, a bit each
	Full   uint16    // those of them that were in full motion; 0: none, or judged

	Held  [servobus.Channels]uint16 // what they stood at when that was told
	Steps int                       // movements away from it that followed one another
	Last  fact.Time                 // wire time of the latest
	Again fact.Time                 // and of the first
}

// forget lets go of what was under way.
func (s *stir) forget() {
	s.Changed, s.Went = [servobus.Channels]uint16{}, [servobus.Channels]int64{}
	s.Moving, s.Full, s.Steps = 0, 0, 0
}

// begin takes a frame that has none before it.
func (s *stir) begin(o *fact.Observation) {
	s.Since = o.Wire
	s.reach(&o.Frame.Counts)
}

// step takes a live frame behind another and reports whether anything moved.
func (s *stir) step(o *fact.Observation, before *[servobus.Channels]uint16) bool {
	now := &o.Frame.Counts
	moves := *now != *before
	if moves {
		s.Since, s.Moving, s.Full = o.Wire, 0, 0
		s.reach(now)
	}
	for ch := range now {
		d := abs(int64(now[ch]) - int64(before[ch]))
		s.Went[ch] += d - s.Went[ch]/stirWindow
		s.Changed[ch] = s.Changed[ch] << 1 & (1<<stirWindow - 1)
		if d > 0 {
			s.Changed[ch] |= 1
			s.motion(ch, d)
		}
	}
	return moves
}

// motion notes whether a channel that just changed by d is in motion.
func (s *stir) motion(ch int, d int64) {
	n, went := int64(bits.OnesCount16(s.Changed[ch])), s.Went[ch]
	slowed := 2*d*n < went // less than half of what it goes at a time
	if n < stirChanges || went < stirMotion || slowed {
		return
	}
	s.Moving |= 1 << ch
	if went >= stirFull {
		s.Full |= 1 << ch
	}
}

func (s *stir) reach(counts *[servobus.Channels]uint16) {
	if !s.Seen {
		s.Seen, s.Least, s.Most = true, *counts, *counts
	}
	for ch, c := range counts {
		s.Least[ch], s.Most[ch] = min(s.Least[ch], c), max(s.Most[ch], c)
	}
}

// froze reports a freeze that has lasted long enough. It does so once.
func (s *stir) froze(o *fact.Observation, sh *sheet.Sheet) bool {
	if s.Full == 0 || o.Wire-s.Since < stirStill {
		return false
	}
	sticks, halfway := 0, 0
	for ch, count := range o.Frame.Counts {
		c, ok := sh.Channel(ch + 1)
		if s.Moving&(1<<ch) == 0 || !ok || c.Kind != sheet.Stick && c.Kind != sheet.Throttle {
			continue
		}
		sticks++
		if s.Full&(1<<ch) != 0 && s.halfway(c, count, sh) {
			halfway++
		}
	}
	s.Moving, s.Full, s.Steps, s.Held = 0, 0, 0, o.Frame.Counts
	return sticks >= 2 && halfway >= 1
}

// halfway reports whether a stick does not stop there by itself.
func (s *stir) halfway(c *sheet.Channel, count uint16, sh *sheet.Sheet) bool {
	w, ch := sh.Scale.Width(int64(count)), c.Number-1
	for _, p := range c.Places {
		if abs(w-p.Width) <= sh.Tolerance.Position {
			return false
		}
	}
	if c.Neutral != 0 && abs(w-c.Neutral) <= sh.Tolerance.Position {
		return false
	}
	return count >= s.Least[ch]+stirMargin && count+stirMargin <= s.Most[ch]
}

// again reports that values move again: two movements that follow one another and
// don't lead back. A receiver that goes to its presets moves once, and one frame
// settles nothing.
func (s *stir) again(o *fact.Observation, moves bool) bool {
	switch {
	case o.Frame.Counts == s.Held:
		s.Steps = 0
	case !moves:
	case s.Steps == 0 || o.Wire-s.Last > stirStill:
		s.Steps, s.Last, s.Again = 1, o.Wire, o.Wire
	default:
		s.Steps++
		s.Last = o.Wire
	}
	return s.Steps >= twice
}

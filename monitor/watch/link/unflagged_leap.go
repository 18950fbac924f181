package link

import (
	"math/bits"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	leapFar     = 80                     // quanta from one frame to the next, 50 µs
	leapMoved   = 12                     // quanta, a channel that went along
	leapAlone   = 60 * unit.Millisecond  // for this long after it
	leapOver    = 3                      // a leap is this many times as far as any step behind it: a hand that is under way goes on
	leapMany    = 3                      // channels at once: no hand
	heldLeast   = 500 * unit.Millisecond // values that stood this long before or after it stood still
	scaledAlike = 20                     // two ways that are in proportion within one part in this many: a change of rates
)

// leap is a change of values from one live frame to the next that no hand makes: far,
// and not the beginning of a movement. What follows within a moment decides that.
//
//	leap  ___         a hand  ___
//	         |                   \
//	         |___                 \___
type leap struct {
	At       unit.Time // wire time of the first frame behind it, 0: none is looked at
	Before   unit.Time // and of the last before it
	From, To bus.Counts
	Alone    uint32        // channels that leapt and stayed about there, a bit each
	Stood    unit.Duration // for how long all values had stood before
	Stop     lastLive      // how the movement before that had ended
}

// begin looks at a change of values, while no other is looked at; it reports whether any of
// those that moved went far.
func (l *leap) begin(s *base.CleanFrame, moved base.ChannelSet, v *base.View, before unit.Time, m *bursts, stop lastLive) bool {
	alone, least := uint32(0), leapFar*int64(v.Quantum)
	for moved != 0 {
		ch := moved.Pop()
		if unit.Abs(int64(s.Counts[ch])-int64(m.Now[ch])) >= least {
			alone |= 1 << ch
		}
	}
	if alone == 0 {
		return false
	}
	*l = leap{At: s.Wire, Before: before, From: m.Now, To: s.Counts, Alone: alone, Stood: before.Sub(m.Since), Stop: stop}
	return true
}

func (l *leap) far(ch int) int64 { return unit.Abs(int64(l.To[ch]) - int64(l.From[ch])) }

// follow takes the next frame and reports that what was looked at is over.
func (l *leap) follow(s *base.CleanFrame, before *bus.Counts) bool {
	for ch := range s.Counts {
		if step := unit.Abs(int64(s.Counts[ch]) - int64(before[ch])); leapOver*step > l.far(ch) {
			l.Alone &^= 1 << ch
		}
	}
	return s.Wire.Sub(l.At) >= leapAlone
}

func (l *leap) channels() int { return bits.OnesCount32(l.Alone) }

// unfreezes reports that it ends a freeze: two sticks or more had stopped within one
// frame while in motion, where none stops by itself, and left that in one frame, one of
// them far. A change of rates moves them in proportion.
func (l *leap) unfreezes(v *base.View) bool {
	frozen, moved := l.Stop.Moving, uint32(0)
	for ch := range l.To {
		if frozen&(1<<ch) != 0 && l.far(ch) >= leapMoved*int64(v.Quantum) {
			moved |= 1 << ch
		}
	}
	return l.Stop.Sure && bits.OnesCount32(moved) >= 2 && l.Alone&frozen != 0 && !l.scaled(moved, v)
}

// together reports that two sticks or more leapt from where they stood, and not by a
// change of rates.
func (l *leap) together(v *base.View) bool {
	sticks := uint32(0)
	for i := range v.Sheet.Channels {
		if c := &v.Sheet.Channels[i]; c.Kind == sheet.Stick && !v.Sheet.Digital(c.Number) {
			sticks |= 1 << (c.Number - 1)
		}
	}
	sticks &= l.Alone
	return l.Stood >= heldLeast && bits.OnesCount32(sticks) >= 2 && !l.scaled(sticks, v)
}

// scaled reports that channels went in proportion to how far they stood from neutral.
func (l *leap) scaled(mask uint32, v *base.View) bool {
	var from, to int64 // of the first
	for ch := range l.To {
		c, ok := v.Sheet.Channel(ch + 1)
		if mask&(1<<ch) == 0 || !ok {
			continue
		}
		a, b := int64(v.Sheet.Width(l.From[ch])-c.Neutral), int64(v.Sheet.Width(l.To[ch])-c.Neutral)
		switch {
		case a == 0:
			return false
		case from == 0:
			from, to = a, b
		case scaledAlike*unit.Abs(to*a-b*from) > unit.Abs(to*a):
			return false
		}
	}
	return true
}

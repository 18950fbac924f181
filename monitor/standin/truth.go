package standin

import (
	"cmp"
	"slices"
)

// Truth is one thing that really happened, for tests to compare with what a
// listener concluded. Of controls it tells what the hands did, whatever faults
// made of it. Kinds, what they are about, and to what they came:
//
//	signal     transmitter or TAP   on, off
//	switch     CHANNEL              PLACE of the lever (places that it passes count too)
//	stick      CHANNEL              moving, resting
//	failsafe   TAP                  entered, left (a receiver starts in failsafe)
//	cut        CHANNEL              on, off (what the hand did, whether it was heeded or not)
//	hiccup     TAP                  began, ended
//	cable      TAP                  unplugged, plugged
//	packet     TAP                  missed (while there was a signal)
//	frame      TAP                  missing (never sent)
//	character  TAP                  damaged
type Truth struct {
	At              int64 // ns since the start
	Kind, About, To string
}

// ledger keeps what really happened, if somebody wants to know.
type ledger struct {
	keep  bool
	facts []Truth
}

func (l *ledger) note(at int64, kind, about, to string) {
	if l.keep {
		l.facts = append(l.facts, Truth{At: at, Kind: kind, About: about, To: to})
	}
}

// inOrder is a copy in order of time: the position of a lever, for one, is
// looked at only when a packet is made.
func (l *ledger) inOrder() []Truth {
	facts := slices.Clone(l.facts)
	slices.SortStableFunc(facts, func(a, b Truth) int { return cmp.Compare(a.At, b.At) })
	return facts
}

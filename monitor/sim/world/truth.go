package world

import (
	"cmp"
	"slices"
)

// Truth is one thing that really happened, for tests to compare with what a
// listener concluded. Of controls it reports what the hands did, whatever faults
// made of it. Kinds, what they are about, and to what they came:
//
//	signal     transmitter or TAP   on, off
//	signal     second               on, off (whether it is the one that is heard)
//	warning    transmitter          began, ended (switched on, it sends nothing until its controls are home)
//	switch     CHANNEL              PLACE of the lever (places that it passes count too)
//	stick      CHANNEL              moving, resting
//	failsafe   TAP                  entered, left (a receiver starts in failsafe, at each power-up)
//	presets    TAP                  taught (first after its power-up)
//	power      TAP                  on, off
//	cut        CHANNEL              on, off (what the hand did, whether it was heeded or not)
//	rate       CHANNEL              SHARE of its travel that is sent from then on
//	trim       CHANNEL              by how much it is off its centre (in Width)
//	hiccup     TAP                  began, ended
//	stall      computer             began, ended
//	cable      TAP                  unplugged, plugged
//	packet     TAP                  missed (while there was a signal)
//	packet     TAP                  first, last (heard, of those from signal on to off; while the
//	                                receiver has power)
//	frame      TAP                  missing (never sent), wrong (by a garble)
//	frame      TAP                  last-live (before each failsafe), first-live (after it)
//	flags      TAP                  none, lost, failsafe, both: a frame with other flags than the last
//	bus        TAP                  silent, back
//	channel    TAP/CHANNEL          preset, held, moving: what it came to in failsafe (not one that
//	                                the receiver woke up with)
//	character  TAP                  damaged
//	tilt       AXIS                 turning (to an angle), still (at it); once the hands have it there
//	gyro       TAP                  off, rate, level (what the receiver's stabiliser does)
//	learning   TAP                  sweep, ends, learned, lost: how far the receiver is with learning its limits
//	limit      TAP/OUTPUT           low, high: where it learned that an output's limit is
//	board      TAP                  restarted; dropped (a pulse, with no room to report it)
//	line       TAP                  lost, wrong (of a board)
//
// Of live frames, flags, buses and channels the date is the end on the wire of the
// frame that shows it, as in Sim.FrameEnds: the first with the flags, the last
// before a silence, the first with every preset, for a held channel the last live
// one. A live frame is one outside failsafe with no packet missing before it,
// whatever its flags, and no wrong one. What no frame showed since it went missing is not reported.
type Truth struct {
	At              int64 // ns since the start
	Kind, About, To string
	Width           int64 // where a preset or held channel came to rest, or a trim or a learned limit is, ns; else 0
	Angle           int64 // of a tilt: where it goes, or is, millidegrees; else 0
}

// truthLog keeps what really happened, if somebody wants to know.
type truthLog struct {
	keep   bool
	truths []Truth
}

func (l *truthLog) note(at int64, kind, about, to string) {
	l.add(Truth{At: at, Kind: kind, About: about, To: to})
}

func (l *truthLog) add(fact Truth) {
	if l.keep {
		l.truths = append(l.truths, fact)
	}
}

// inOrder is a copy in order of time: the position of a lever, for one, is
// looked at only when a packet is made.
func (l *truthLog) inOrder() []Truth {
	facts := slices.Clone(l.truths)
	slices.SortStableFunc(facts, func(a, b Truth) int { return cmp.Compare(a.At, b.At) })
	return facts
}

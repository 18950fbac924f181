package world

import "time"

// secondName is what truths about the second transmitter are about.
const secondName = "second"

// secondKind is what a second transmitter sends.
type secondKind int

const (
	secondFollows secondKind = iota // what the hands do: a module that is linked still
	secondHolds                     // what was sent last, for ever
	secondRests                     // its own controls, which stand where the channels start
	secondMoves                     // the same, with its own hands on the sticks
)

var secondWords = []string{secondFollows: "follows", secondHolds: "holds", secondRests: "rests", secondMoves: "moves"}

// secondPlan is a second transmitter. It is heard when the first one, having
// been on, sends nothing.
type secondPlan struct {
	kind secondKind
	gap  spread // ns from the last packet of the first
}

// second follows a secondPlan.
type second struct {
	script  *Script
	plan    *secondPlan
	truths  *truthLog
	gap     int64
	hands   map[int]*hand // if it moves, by the channel's number
	first   int64         // when the first one sent last
	heard   bool          // it is the one that is heard
	waiting bool          // the first one has been on
	counts  values
}

func newSecond(s *Script, streams streams, l *truthLog) *second {
	if s.second == nil {
		return nil
	}
	t := &second{script: s, plan: s.second, truths: l, hands: map[int]*hand{}}
	t.gap = t.plan.gap.draw(streams.of(secondName))
	for i := range s.channels {
		if c := &s.channels[i]; t.plan.kind == secondMoves && c.beat == nil && len(c.places) == 0 {
			// What these hands do is in no truth.
			t.hands[c.number] = newHand(c, s.hands, streams.of("second "+c.name), &truthLog{})
		}
	}
	return t
}

// pause is a packet of the first one, of these counts.
func (t *second) pause(now int64, counts *values) {
	if t.plan.kind == secondHolds {
		t.counts = *counts
	}
	t.turn(now, false)
	t.first, t.waiting = now, true
}

// speak is the second one's packet where the first sends none, and false before
// its turn. hands are what the first one would send.
func (t *second) speak(now int64, hands *values) (*values, bool) {
	if !t.waiting || now-t.first < t.gap {
		return nil, false
	}
	t.turn(now, true)
	if t.plan.kind == secondFollows {
		return hands, true
	}
	for number, h := range t.hands {
		t.counts[number] = t.script.count(h.width(now))
	}
	return &t.counts, true
}

// turn hands over from one to the other.
func (t *second) turn(now int64, heard bool) {
	if heard == t.heard {
		return
	}
	t.heard = heard
	t.truths.note(now, "signal", secondName, onOff(heard))
	if !heard || t.plan.kind == secondHolds || t.plan.kind == secondFollows {
		return
	}
	t.counts = t.script.starts()
	for _, h := range t.hands {
		h.wiggle(now, int64(time.Hour))
	}
}

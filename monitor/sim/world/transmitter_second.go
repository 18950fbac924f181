package world

import "time"

// secondName is what truths about the second transmitter are about.
const secondName = "second"

// SecondKind is what a second transmitter sends.
type SecondKind int

// What second transmitters send.
const (
	SecondFollows SecondKind = iota // what the hands do: a module that is linked still
	SecondHolds                     // what was sent last, for ever
	SecondRests                     // its own controls, which stand where the channels start
	SecondMoves                     // the same, with its own hands on the sticks
)

func (k SecondKind) String() string {
	return []string{SecondFollows: "follows", SecondHolds: "holds", SecondRests: "rests", SecondMoves: "moves"}[k]
}

// SecondPlan is a second transmitter. It is heard when the first one, having
// been on, sends nothing.
type SecondPlan struct {
	Kind SecondKind
	Gap  Spread // ns from the last packet of the first
}

// second follows a SecondPlan.
type second struct {
	bench   *Plan
	plan    *SecondPlan
	truths  *truthLog
	gap     int64
	hands   map[int]*hand // if it moves, by the channel's number
	first   int64         // when the first one sent last
	heard   bool          // it is the one that is heard
	waiting bool          // the first one has been on
	counts  values
}

func newSecond(s *Plan, streams streams, l *truthLog) *second {
	if s.Second == nil {
		return nil
	}
	t := &second{bench: s, plan: s.Second, truths: l, hands: map[int]*hand{}}
	t.gap = t.plan.Gap.draw(streams.of(secondName))
	for i := range s.Channels {
		if c := &s.Channels[i]; t.plan.Kind == SecondMoves && c.Heartbeat == nil && len(c.Places) == 0 {
			// What these hands do is in no truth.
			t.hands[c.Number] = newHand(c, s.Hands, streams.of("second "+c.Name), &truthLog{})
		}
	}
	return t
}

// pause is a packet of the first one, of these counts.
func (t *second) pause(now int64, counts *values) {
	if t.plan.Kind == SecondHolds {
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
	if t.plan.Kind == SecondFollows {
		return hands, true
	}
	for number, h := range t.hands {
		t.counts[number] = t.bench.count(h.width(now))
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
	if !heard || t.plan.Kind == SecondHolds || t.plan.Kind == SecondFollows {
		return
	}
	t.counts = t.bench.starts()
	for _, h := range t.hands {
		h.wiggle(now, int64(time.Hour))
	}
}

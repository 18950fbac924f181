package standin

import (
	"math/rand/v2"
	"time"
)

// lever is a switch. It is at one place or the next, never between, but a
// lever that is pushed over several places dwells at each that it passes.
type lever struct {
	plan   *channelPlan
	rng    *rand.Rand
	ledger *ledger
	place  int
	hops   []hop // still to come, in order of time
}

type hop struct {
	at    int64
	place int
}

// How long a lever dwells at a place that it passes (an assumption).
const (
	dwellFrom = int64(30 * time.Millisecond)
	dwellTo   = int64(120 * time.Millisecond)
)

func newLever(plan *channelPlan, rng *rand.Rand, l *ledger) *lever {
	return &lever{plan: plan, rng: rng, ledger: l, place: plan.placeAt(plan.start)}
}

// set pushes the lever to a place, over those that lie between.
func (l *lever) set(now int64, place int) {
	l.follow(now)
	l.hops = nil
	way := 1
	if place < l.place {
		way = -1
	}
	for at := l.place; at != place; now += dwellFrom + l.rng.Int64N(dwellTo-dwellFrom) {
		at += way
		l.hops = append(l.hops, hop{now, at})
	}
}

// press pushes a two-place switch over and lets it spring back.
func (l *lever) press(now, lasts int64) {
	l.follow(now)
	l.hops = []hop{{now, 1 - l.place}, {now + lasts, l.place}}
}

// width is where the lever is, ns. Times must not decrease from call to call.
func (l *lever) width(now int64) int64 {
	l.follow(now)
	return l.plan.places[l.place].width
}

func (l *lever) follow(now int64) {
	for len(l.hops) > 0 && l.hops[0].at <= now {
		l.place = l.hops[0].place
		l.ledger.note(l.hops[0].at, "switch", l.plan.name, l.plan.places[l.place].name)
		l.hops = l.hops[1:]
	}
}

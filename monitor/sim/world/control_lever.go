package world

import (
	"math/rand/v2"
	"time"
)

// lever is a switch. It is at one place or the next, never between, but a
// lever that is pushed over several places dwells at each that it passes.
type lever struct {
	plan   *ChannelPlan
	rng    *rand.Rand
	truths *truthLog
	habits HandHabits
	pace   int64 // see habits.pace
	place  int
	hops   []hop // still to come, in order of time
}

type hop struct {
	at    int64
	place int
}

// How long a lever dwells at a place that it passes (assumptions).
const (
	dwellFrom  = int64(30 * time.Millisecond)
	dwellTo    = int64(120 * time.Millisecond)
	variedFrom = int64(15 * time.Millisecond) // with varied hands
	variedTo   = int64(200 * time.Millisecond)
)

func newLever(plan *ChannelPlan, habits HandHabits, rng *rand.Rand, l *truthLog) *lever {
	return &lever{plan: plan, rng: rng, truths: l, habits: habits, pace: habits.pace(rng), place: plan.PlaceAt(plan.Start)}
}

// set pushes the lever to a place, over those that lie between.
func (l *lever) set(now int64, place int) {
	l.follow(now)
	l.hops = nil
	l.push(now, l.place, place)
}

// push plans the hops on the way from one place to another. It returns the
// moment of the last one.
func (l *lever) push(now int64, from, to int) (arrived int64) {
	way := 1
	if to < from {
		way = -1
	}
	arrived = now
	for from != to {
		from += way
		arrived = now
		l.hops = append(l.hops, hop{now, from})
		now += l.dwell()
	}
	return arrived
}

func (l *lever) dwell() int64 {
	if l.habits.Varied {
		return variedFrom + l.rng.Int64N(variedTo-variedFrom)
	}
	return dwellFrom + l.rng.Int64N(dwellTo-dwellFrom)
}

// press pushes a switch of two places over and lets it spring back. A place
// that a fault put between them is passed both ways.
func (l *lever) press(now, lasts int64) {
	l.follow(now)
	l.hops = nil
	from, to := l.place, l.other()
	arrived := l.push(now, from, to)
	l.push(arrived+lasts*l.pace/nominalPace, to, from)
}

// other is the place that a press pushes to.
func (l *lever) other() int {
	to := l.place
	for i := range l.plan.Places {
		if i != l.place && !l.plan.Places[i].Extra {
			to = i
		}
	}
	return to
}

// width is where the lever is, ns. Times must not decrease from call to call.
func (l *lever) width(now int64) int64 {
	l.follow(now)
	return l.plan.Places[l.place].Width
}

func (l *lever) follow(now int64) {
	for len(l.hops) > 0 && l.hops[0].at <= now {
		l.place = l.hops[0].place
		l.truths.note(l.hops[0].at, "switch", l.plan.Name, l.plan.Places[l.place].Name)
		l.hops = l.hops[1:]
	}
}

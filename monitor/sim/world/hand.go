package world

import (
	"math/rand/v2"
	"time"
)

// hand moves one stick or knob. At rest it is dead still, since transmitters
// filter; under way it follows a minimum-jerk course with a little tremor and
// misses its aim by a little, except at a stop, against which it leans, and
// less where the control stood at first: there a spring or a detent helps. Steady
// hands neither tremble nor miss.
//
// The course is that of Flash & Hogan, The Journal of Neuroscience 5 (1985)
// 1688 (from memory). The other figures are assumptions.
type hand struct {
	plan   *ChannelPlan
	rng    *rand.Rand
	truths *truthLog
	habits HandHabits
	pace   int64 // see habits.pace

	meant        int64 // where the last course was meant to end, ns of width
	from, to     int64 // widths of the course, ns
	began, takes int64 // ns
	path         path  // between from and to
	tremor       int64 // ns of width
	wiggleEnd    int64 // until when it goes on stirring
	moving       bool

	then  func(at int64) // what the hand does after the course; nil: it rests
	dwell int64          // how long it stays at the end of the course before that
}

// The hand's habits.
const (
	missesBy   = 3 * us // how far off the aim a hand ends, at most
	returnsTo  = 2 * us // how far off its neutral a gimbal comes to rest, at most
	shakesBy   = 4 * us // how far a trembling hand strays, at most
	letGo      = int64(300 * time.Millisecond)
	strokeFrom = int64(250 * time.Millisecond) // one stroke of a stir takes from
	strokeTo   = int64(500 * time.Millisecond) // to
)

func newHand(plan *ChannelPlan, habits HandHabits, rng *rand.Rand, l *truthLog) *hand {
	h := &hand{plan: plan, rng: rng, truths: l, habits: habits, pace: habits.pace(rng), meant: plan.Start, to: plan.Start}
	if habits.Varied {
		h.to = h.aim(plan.Start)
	}
	h.from = h.to
	return h
}

// move starts a course from wherever the stick is.
func (h *hand) move(now, to, over int64) {
	from := h.halt(now)
	h.meant = to
	h.course(now, from, h.aim(to), over)
}

// halt ends what the hand was about, and is where the stick is then.
func (h *hand) halt(now int64) int64 {
	at := h.width(now)
	h.then, h.dwell, h.wiggleEnd = nil, 0, 0
	return at
}

// release lets the stick spring back to where it stood at first.
func (h *hand) release(now int64) { h.move(now, h.plan.Start, letGo) }

// wiggle moves the stick about until it has lasted long enough.
func (h *hand) wiggle(now, lasts int64) {
	from := h.halt(now)
	h.wiggleEnd = now + lasts
	h.course(now, from, h.somewhere(), h.stroke())
	h.then = h.goOnWiggling
}

// course starts a course that ends without speed, in a time by the hand's pace.
func (h *hand) course(began, from, to, takes int64) {
	h.run(began, from, to, takes*h.pace/nominalPace, nil)
}

// go_ starts a course.
func (h *hand) run(began, from, to, takes int64, along path) {
	h.from, h.to, h.began, h.takes, h.path = from, to, began, takes, along
	if !h.moving {
		h.moving = true
		h.truths.note(began, "stick", h.plan.Name, "moving")
	}
}

// ends is when the course ends.
func (h *hand) ends() int64 { return h.began + h.takes }

// width is where the stick is, ns. Times must not decrease from call to call.
func (h *hand) width(now int64) int64 {
	for h.then != nil && now >= h.ends()+h.dwell {
		then, at := h.then, h.ends()+h.dwell
		h.rest()
		h.then, h.dwell = nil, 0
		then(at)
	}
	if now >= h.ends() {
		h.rest()
		return h.to
	}
	at := h.along(now-h.began) + h.shake(now-h.began)
	return min(max(at, h.plan.Low), h.plan.High)
}

// rest reports that the stick stands at the end of its course, unless the hand goes
// on at once.
func (h *hand) rest() {
	if h.moving && (h.then == nil || h.dwell > 0) {
		h.moving = false
		h.truths.note(h.ends(), "stick", h.plan.Name, "resting")
	}
}

// along is where the course is after a time.
func (h *hand) along(since int64) int64 {
	if h.path != nil {
		return h.path(since)
	}
	return minimumJerk(h.from, h.to, since, h.takes)
}

func (h *hand) goOnWiggling(now int64) {
	if now < h.wiggleEnd {
		h.course(now, h.to, h.somewhere(), h.stroke())
		h.then = h.goOnWiggling
		return
	}
	h.course(now, h.to, h.aim(h.meant), letGo)
}

// aim is where a hand ends that means to go to a width.
func (h *hand) aim(to int64) int64 {
	if h.plan.AtStop(to) || h.habits.Steady {
		return to
	}
	miss := missesBy
	if to == h.plan.Start {
		miss = returnsTo
	}
	return min(max(to+h.within(miss), h.plan.Low), h.plan.High)
}

// somewhere is an aim of a stir: anywhere between the stops.
func (h *hand) somewhere() int64 { return h.plan.Low + h.rng.Int64N(h.plan.High-h.plan.Low+1) }

func (h *hand) stroke() int64 { return strokeFrom + h.rng.Int64N(strokeTo-strokeFrom) }

// shake is the tremor at a moment of the course: noise through a low pass,
// growing from the start and fading towards the end so that nothing jumps.
func (h *hand) shake(since int64) int64 {
	if h.habits.Steady {
		return 0
	}
	h.tremor = (3*h.tremor + h.within(shakesBy)) / 4
	s := part(since, h.takes)
	return h.tremor * (4 * s * (whole - s) / whole) / whole
}

// within is a random number in -most..most.
func (h *hand) within(most int64) int64 { return h.rng.Int64N(2*most+1) - most }

// whole is 1 in the fixed-point shares of a course.
const whole = 1 << 11

// part is since/takes in units of 1/whole.
func part(since, takes int64) int64 {
	return since * whole / takes
}

// minimumJerk is the place between from and to on a course that starts and
// ends without speed or acceleration: 10s³ - 15s⁴ + 6s⁵ of the way. Integers
// keep it the same on every machine.
func minimumJerk(from, to, since, takes int64) int64 {
	s := part(since, takes)
	done := s * s * s * (10*whole*whole - 15*whole*s + 6*s*s) // of whole⁵ = 2⁵⁵
	return from + (to-from)*(done>>25)>>30
}

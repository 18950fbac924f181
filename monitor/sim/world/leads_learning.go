package world

import (
	"strconv"
	"time"
)

// LearningPlan is how the receiver learns how far its outputs go: invented. A button begins it, surfaces go to and
// fro by themselves, then sticks are brought to their ends, and one more press of the button ends it. Until then
// outputs go no further than Narrow; where it loses its power meanwhile they do so again, and its stabiliser rests.
//
//	button   _/~~\_/~~\_________________________/~\__
//	outputs  ___________/\_/\__ follow sticks ______  no further than those went
type LearningPlan struct {
	Known   bool
	Number  int   // of the button's channel, from 0: pressed above NeutralWidth
	Presses int64 // that begin it
	Holds   int64 // how long each is at least, ns
	Sweep   int64 // how long surfaces go to and fro, ns
	Narrow  int64 // ns to either side of neutral
}

// NewLearningPlan is one by the button of a channel.
func NewLearningPlan(number int) LearningPlan {
	return LearningPlan{Known: true, Number: number, Presses: 2, Holds: int64(50 * time.Millisecond), Sweep: int64(3 * time.Second), Narrow: 150 * us}
}

// How far the learning is.
type learningPhase int

const (
	learnedBefore learningPhase = iota // as it was delivered
	learningSweep
	learningEnds
	learnedNow
	learningLost // broken off
)

// sweepsBy is how far a surface goes by itself, ns.
const sweepsBy = 120 * us

// presses are within so long of each other where they belong together, ns.
const pressesWithin = int64(5 * time.Second)

// learner is the part of a receiver that learns limits.
type learner struct {
	bench  *Plan
	plan   *LearningPlan
	rx     *receiver
	truths *truthLog
	next   int64
	phase  learningPhase
	begun  int64 // the sweep

	pressed bool
	since   int64 // it is
	count   int64
	first   int64 // of those counted

	low, high [MaxChannel]int64 // by output number
}

func newLearner(s *Plan, rx *receiver, l *truthLog) *learner {
	return &learner{bench: s, plan: &s.Learning, rx: rx, truths: l}
}

func (l *learner) due() int64 {
	if !l.plan.Known {
		return Never
	}
	return within(l.bench, l.next)
}

func (l *learner) act() {
	now := l.next
	l.next += gyroLoop
	if !l.rx.awake(now) {
		if l.phase == learningSweep || l.phase == learningEnds {
			l.becomes(now, learningLost)
		}
		l.pressed, l.count = false, 0
		return
	}
	if l.phase == learningSweep && now-l.begun >= l.plan.Sweep {
		for i := range l.bench.Outputs {
			o := &l.bench.Outputs[i]
			l.low[o.Number], l.high[o.Number] = o.Neutral, o.Neutral
		}
		l.becomes(now, learningEnds)
	}
	if !l.rx.failsafe {
		l.button(now)
	}
}

// button sees the button go down and up.
func (l *learner) button(now int64) {
	counts := l.rx.valuesUsed(now)
	down := l.bench.widthOf(&counts, l.plan.Number) > NeutralWidth
	if down == l.pressed {
		return
	}
	if l.pressed = down; down {
		l.since = now
		return
	}
	switch {
	case l.phase == learningEnds:
		l.becomes(now, learnedNow)
	case l.phase == learningSweep:
	case now-l.since < l.plan.Holds:
		l.count = 0
	case l.count == 0 || now-l.first > pressesWithin:
		l.count, l.first = 1, l.since
	default:
		l.count++
	}
	if l.count >= l.plan.Presses {
		l.count, l.begun = 0, now
		l.becomes(now, learningSweep)
	}
}

func (l *learner) becomes(now int64, phase learningPhase) {
	l.phase = phase
	words := [...]string{learnedBefore: "as delivered", learningSweep: "sweep", learningEnds: "ends", learnedNow: "learned", learningLost: "lost"}
	l.truths.note(now, "learning", l.rx.plan.Name, words[phase])
	for i := range l.bench.Outputs {
		if n := l.bench.Outputs[i].Number; phase == learnedNow {
			about := l.rx.plan.Name + "/" + strconv.Itoa(n+1)
			l.truths.add(Truth{At: now, Kind: "limit", About: about, To: "low", Width: l.low[n]})
			l.truths.add(Truth{At: now, Kind: "limit", About: about, To: "high", Width: l.high[n]})
		}
	}
}

// silences reports that the stabiliser rests: while it learns, and where it never came to the end of that.
func (l *learner) silences() bool {
	return l.phase == learningSweep || l.phase == learningEnds || l.phase == learningLost
}

// limited is the width of a surface's output by what was learned so far.
func (l *learner) limited(o *OutputPlan, now, width int64) int64 {
	if !l.plan.Known || o.Corrects == [Axes]bool{} {
		return width
	}
	switch l.phase {
	case learningSweep:
		return o.Neutral + sweepsBy*sine(now-l.begun, l.plan.Sweep)/million
	case learningEnds:
		l.low[o.Number], l.high[o.Number] = min(l.low[o.Number], width), max(l.high[o.Number], width)
		return width
	case learnedNow:
		return min(max(width, l.low[o.Number]), l.high[o.Number])
	}
	return min(max(width, o.Neutral-l.plan.Narrow), o.Neutral+l.plan.Narrow)
}

package world

import (
	"math/rand/v2"
	"time"
)

// The habits of hands that tilt a model (assumptions).
const (
	tiltMisses = int64(1000) // how far off its aim a tilt ends, at most, millidegrees
	strayShare = int64(150)  // of a tilt that turns another axis too, at most, per mille
	trembles   = int64(100)  // how far a model in the hand strays, at most, millidegrees
	firmHold   = int64(5000) // tilted that far the hand trembles in full
	trembleMin = int64(80 * time.Millisecond)
	trembleMax = int64(160 * time.Millisecond)
)

// tilter is a pair of hands that tilts the model. At no tilt it stands on the
// bench, dead still. Steady hands don't tremble, miss or turn another axis.
type tilter struct {
	habits  HandHabits
	rng     *rand.Rand
	truths  *truthLog
	pace    int64           // see habits.pace
	arcs    [Axes][Axes]arc // of the first axis, what a tilt of the second does to it
	tremor  [Axes]sway
	turning [Axes]bool
}

func newTilter(habits HandHabits, streams streams, l *truthLog) *tilter {
	t := &tilter{habits: habits, rng: streams.of("tilts"), truths: l}
	t.pace = habits.pace(t.rng)
	for a := range t.tremor {
		t.tremor[a] = sway{rng: streams.of("tremor " + Axis(a).String()), within: trembles, least: trembleMin, longest: trembleMax}
	}
	return t
}

// tilt turns the model about an axis to an angle, millidegrees from level.
func (t *tilter) tilt(now int64, about Axis, to, over int64) {
	t.noteEnds(now)
	takes := over * t.pace / nominalPace
	aim := t.aim(to)
	for a := range Axes {
		end := aim
		if a != about {
			end = aim * t.stray() / 1000
		}
		turn := &t.arcs[a][about]
		*turn = arc{from: turn.at(now).angle, to: end, began: now, takes: takes}
	}
	t.turning[about] = true
	t.note(now, about, "turning", aim)
}

// aim is where hands end that mean to tilt by an angle. Put down, the model lies
// as the bench does.
func (t *tilter) aim(to int64) int64 {
	if to == 0 || t.habits.Steady {
		return to
	}
	return to + t.rng.Int64N(2*tiltMisses+1) - tiltMisses
}

// stray is how much of a tilt another axis gets, per mille.
func (t *tilter) stray() int64 {
	if t.habits.Steady {
		return 0
	}
	return t.rng.Int64N(2*strayShare+1) - strayShare
}

// noteEnds notes the tilts that have ended.
func (t *tilter) noteEnds(now int64) {
	for a := range Axes {
		if turn := &t.arcs[a][a]; t.turning[a] && now >= turn.ends() {
			t.turning[a] = false
			t.note(turn.ends(), a, "still", turn.to)
		}
	}
}

func (t *tilter) note(at int64, about Axis, to string, angle int64) {
	t.truths.add(Truth{At: at, Kind: "tilt", About: about.String(), To: to, Angle: angle})
}

// poses are how the model lies. Times must not decrease from call to call.
func (t *tilter) poses(now int64) (lies [Axes]pose) {
	t.noteEnds(now)
	var held int64
	for a := range Axes {
		for by := range Axes {
			lies[a] = lies[a].plus(t.arcs[a][by].at(now))
		}
		held = max(held, lies[a].angle, -lies[a].angle)
	}
	if t.habits.Steady {
		return lies
	}
	for a := range Axes {
		lies[a] = lies[a].plus(t.tremor[a].at(now).times(1000 * min(held, firmHold) / firmHold))
	}
	return lies
}

package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"benchproof.example/monitor/sim/world"
)

// wrongFrames is a run of one to three equal wrong frames: values on one or on many
// channels, flags, or both.
func wrongFrames(rng *rand.Rand) string {
	var b strings.Builder
	fmt.Fprintf(&b, "garble main %d frames", between(rng, 1, 3))
	what := rng.IntN(3)
	if what != 0 {
		fmt.Fprintf(&b, " flags %s", one(rng, "lost", "lost", "failsafe", "both", "none"))
	}
	if what == 1 {
		return b.String()
	}
	names := []string{"aileron", "elevator", "throttle", "rudder", "gain", "inner", "outer", "teach"}
	rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	for _, name := range names[:one(rng, 1, 1, 2, 4, len(names))] {
		fmt.Fprintf(&b, " %s %d", name, one(rng, 988, 2012, 1500, between(rng, 900, 2150)))
	}
	return b.String()
}

func (c *careless) spoils() {
	c.by(c.millis(0, 1500), "%s", wrongFrames(c.rng))
	one(c.rng, c.stirs, c.idles, c.flips)()
}

// borders puts wrong frames and single flags where something ends or begins, as a
// first play of the script shows where that is.
func (c *careless) borders(sim *world.Sim) {
	var at []time.Duration
	for _, x := range sim.Truth() {
		switch x.Kind {
		case "frame", "failsafe", "flags", "bus":
			if x.To != "wrong" && x.To != "missing" {
				at = append(at, time.Duration(x.At))
			}
		case "signal":
			at = append(at, time.Duration(x.At))
		}
	}
	if len(at) == 0 {
		return
	}
	for range between(c.rng, 0, 5) {
		when := one(c.rng, at...) + time.Duration(between(c.rng, -40, 90))*time.Millisecond
		what := one(c.rng, wrongFrames(c.rng), "garble main 1 frames flags lost", "garble main 1 frames flags failsafe",
			"garble main 2 frames flags none", "mute main for 100ms")
		c.also = append(c.also, aside{max(when, 0), what})
	}
}

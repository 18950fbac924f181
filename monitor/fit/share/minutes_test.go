package share

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// C: of 720 minutes 0, 1, 2 and 10.
func TestAtMost(t *testing.T) {
	for missed, want := range map[int64]int64{0: 4153, 1: 6572, 2: 8719, 10: 23445} {
		assert.Equal(t, want, AtMost(720, missed), "%d of 720 min", missed)
	}
	assert.EqualValues(t, 950_000, AtMost(1, 0), "one minute says next to nothing")
	assert.EqualValues(t, 1_000_000, AtMost(0, 0))
	assert.EqualValues(t, 1_000_000, AtMost(5, 5))
	assert.Less(t, AtMost(6, 5), int64(1_000_000))
}

// Where bursts are too few for an interval the bound by minutes holds: also where they come
// three within minutes, in one hour of twelve, or are as long as a run of missed frames can be
// on a link that lives, half a second.
func TestCoverageByMinutes(t *testing.T) {
	const frames = 8571 // in a minute
	n := runs(t)
	for seed, c := range []struct {
		name             string
		minutes          int
		expected, length float64 // bursts in all, frames in each, on average
		bunch            int
		spell            bool
	}{
		{"hardly any", 720, 0.5, 1, 1, false},
		{"a few", 720, 3, 5, 1, false},
		{"some", 300, 12, 71, 1, false},
		{"in bunches", 720, 3, 71, 3, false},
		{"in bunches, rarely", 720, 1, 71, 3, false},
		{"in a bad hour", 720, 6, 71, 1, true},
		{"in short runs", 60, 2, 20, 3, false},
	} {
		holds, judged := 0, 0
		for run := range n {
			random := rand.New(rand.NewPCG(uint64(seed), uint64(run)))
			with := map[int]bool{}
			bursts := int64(0)
			for range poisson(random, c.expected/float64(c.bunch)) {
				first := random.IntN(c.minutes)
				if c.spell {
					first = random.IntN(c.minutes / 12) // which hour it is does not matter
				}
				for range c.bunch {
					with[min(first+random.IntN(5)*(c.bunch-1)/2, c.minutes-1)] = true
					bursts++
				}
			}
			if bursts >= MinBursts {
				continue // that has an interval
			}
			if judged++; c.expected*c.length/float64(c.minutes)/frames*1e6 <= float64(AtMost(int64(c.minutes), int64(len(with)))) {
				holds++
			}
		}
		t.Logf("%s: %.4f of %d", c.name, float64(holds)/float64(judged), judged)
		assert.GreaterOrEqual(t, float64(holds)/float64(judged), least(0.95, judged), c.name)
	}
}

package share

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counted are batches of 7142 frames each, of the check values.
var counted = slotsOf(7142, 40, 55, 62, 38, 71, 49, 44, 58, 50, 47, 61, 25)

func slotsOf(frames int64, missed ...int64) (slots []Slot) {
	for _, m := range missed {
		slots = append(slots, Slot{m, frames})
	}
	return slots
}

// C: found by a program in Python.
func TestTheCheckValues(t *testing.T) {
	share, effective, inflation := effectiveFrames(counted)
	assert.InDelta(t, 3.131011, inflation, 1e-6)
	assert.InDelta(t, 21705.9354, effective, 1e-4)
	low, high := clopperPearson(share*effective, effective)
	assert.InDelta(t, 0.00593504, low, 1e-8)
	assert.InDelta(t, 0.00820169, high, 1e-8)

	for k, want := range map[float64]float64{0: 0.00415210, 1: 0.00657160, 2: 0.00871811, 10: 0.02344474} {
		assert.InDelta(t, want, upper(k, 720, 0.95), 1e-8, "%g of 720 min", k)
	}
}

func TestOf(t *testing.T) {
	got, ok := Of(counted, 20)
	assert.True(t, ok)
	assert.Equal(t, Interval{PPM: 7001, Low: 5935, High: 8202}, got, "the low end down, the high one up")

	var halves []Slot // with an hour among them in which nothing was heard
	for i, s := range counted {
		halves = append(halves, Slot{s.Missed / 2, s.Frames / 2}, Slot{s.Missed - s.Missed/2, s.Frames - s.Frames/2})
		if i == 5 {
			halves = append(halves, Slot{})
		}
	}
	of, ok := Of(halves, 20)
	assert.True(t, ok)
	assert.Equal(t, got, of)

	for name, c := range map[string]struct {
		slots  []Slot
		bursts int64
	}{
		"too few bursts":  {counted, 19},
		"too few slots":   {counted[:11], 20},
		"nothing":         {nil, 20},
		"nothing heard":   {make([]Slot, 12), 20},
		"one not heard":   {append(counted[:11:11], Slot{}), 20},
		"no bursts at al": {slotsOf(7142, make([]int64, 12)...), 0},
	} {
		_, ok := Of(c.slots, c.bursts)
		assert.False(t, ok, name)
	}
}

// All or nothing has an interval too, which ends where shares do.
func TestTheEnds(t *testing.T) {
	none, ok := Of(slotsOf(100, make([]int64, 12)...), MinBursts)
	assert.True(t, ok)
	assert.Equal(t, int64(0), none.Low)
	assert.Equal(t, int64(0), none.PPM)
	assert.InDelta(t, 3869, none.High, 60, "3.69 in some 952")
	all, ok := Of(slotsOf(100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100), MinBursts)
	assert.True(t, ok)
	assert.Equal(t, int64(1_000_000), all.PPM)
	assert.Equal(t, int64(1_000_000), all.High)
	assert.Equal(t, 1_000_000-none.High, all.Low)
}

// The wider batches differ, the wider the interval; it has the share in it.
func TestUnlikeBatchesWidenIt(t *testing.T) {
	var before Interval
	for spread := int64(0); spread <= 500; spread += 50 {
		slots := slotsOf(100_000, 500+spread, 500-spread, 500+spread, 500-spread, 500+spread, 500-spread,
			500+spread, 500-spread, 500+spread, 500-spread, 500+spread, 500-spread)
		got, ok := Of(slots, 100)
		assert.True(t, ok)
		assert.Equal(t, int64(5000), got.PPM)
		assert.Less(t, got.Low, got.PPM)
		assert.Greater(t, got.High, got.PPM)
		if spread > 0 {
			assert.LessOrEqual(t, got.Low, before.Low)
			assert.GreaterOrEqual(t, got.High, before.High)
		}
		before = got
	}
}

// C: by SciPy.
func TestAgainst(t *testing.T) {
	earlier := slotsOf(1000, 10, 14, 12)
	for missed, want := range map[int64]int64{0: 999, 12: 484, 14: 245, 20: 58, 40: 12, 400: 2} {
		got, ok := Against(Slot{missed, 1000}, earlier)
		assert.True(t, ok)
		assert.Equal(t, want, got, "%d", missed)
	}
	for name, earlier := range map[string][]Slot{"two": slotsOf(1000, 10, 14), "none": nil, "alike": slotsOf(1000, 5, 5, 5)} {
		_, ok := Against(Slot{50, 1000}, earlier)
		assert.False(t, ok, name)
	}
}

// runs are how many soaks a cell of a simulation has.
func runs(t *testing.T) int {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 1000
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return 50 * n
}

// least is the smallest coverage that a simulation of so many runs may show where the true one
// is as given: three standard deviations less.
func least(coverage float64, runs int) float64 {
	return coverage - 3*math.Sqrt(coverage*(1-coverage)/float64(runs))
}

// geometric is the length of a burst, one at least, so long on average.
func geometric(random *rand.Rand, mean float64) int64 {
	if mean <= 1 {
		return 1
	}
	return 1 + int64(math.Log(1-random.Float64())/math.Log(1-1/mean))
}

// poisson counts what comes by chance, so often on average.
func poisson(random *rand.Rand, mean float64) (n int) {
	for at := random.ExpFloat64(); at < mean; at += random.ExpFloat64() {
		n++
	}
	return n
}

// soak is one in slots of 5 minutes, with so many bursts, so long, in a slot on average: in
// each alike, or in each fourth all of them, as bad spells have it.
func soak(random *rand.Rand, slots int, bursts, length float64, spells bool) (list []Slot, counted int64) {
	shift := random.IntN(4)
	for i := range slots {
		n := 0
		switch {
		case !spells:
			n = poisson(random, bursts)
		case (i+shift)%4 == 0:
			n = poisson(random, 4*bursts*2*random.Float64())
		}
		s := Slot{Frames: 300_000 / 7}
		for range n {
			s.Missed += geometric(random, length)
		}
		list, counted = append(list, s), counted+int64(n)
	}
	return list, counted
}

// The interval has the true share in it as often as was found elsewhere: 0.94 with 20 bursts or
// more, also where they come in spells, if there are twelve hours of those. Counted frame by
// frame it would be half as often.
func TestCoverage(t *testing.T) {
	n := runs(t)
	for seed, c := range []struct {
		name           string
		slots          int
		bursts, length float64
		spells         bool
	}{
		{"even", 144, 0.5, 1, false},
		{"in bursts of 5", 144, 0.3, 5, false},
		{"in bursts of 20", 288, 1, 20, false},
		{"in spells", 144, 1, 5, true},
		{"in spells for a day", 288, 3, 10, true},
	} {
		within, naive := 0, 0
		for run := range n {
			random := rand.New(rand.NewPCG(uint64(seed), uint64(run)))
			slots, counted := soak(random, c.slots, c.bursts, c.length, c.spells)
			got, ok := Of(slots, counted)
			require.True(t, ok)
			truth := 1e6 * c.bursts * c.length / (300_000 / 7)
			if float64(got.Low) <= truth && truth <= float64(got.High) {
				within++
			}
			var all Slot
			for _, s := range slots {
				all.Missed, all.Frames = all.Missed+s.Missed, all.Frames+s.Frames
			}
			if low, high := clopperPearson(float64(all.Missed), float64(all.Frames)); 1e6*low <= truth && truth <= 1e6*high {
				naive++
			}
		}
		t.Logf("%s: %.3f, by frames %.3f", c.name, float64(within)/float64(n), float64(naive)/float64(n))
		assert.GreaterOrEqual(t, float64(within)/float64(n), least(0.94, n), c.name)
		if c.length > 1 {
			assert.Less(t, float64(naive)/float64(n), 0.8, "%s: by frames", c.name)
		}
	}
}

// C: the variance factor (1+ρ)/(1−ρ) of frames that are missed in bursts of B, a share p of
// them, ρ = 1 − 1/B − p/(B(1−p)). Batches find it.
func TestBatchesFindTheVarianceFactor(t *testing.T) {
	for seed, c := range []struct{ burst, want float64 }{{5, 8.9}, {20, 38.6}} {
		const share, frames, soaks = 0.01, 10_000, 60
		rho := 1 - 1/c.burst - share/(c.burst*(1-share))
		assert.InDelta(t, c.want, (1+rho)/(1-rho), 1e-6)
		random := rand.New(rand.NewPCG(7, uint64(seed)))
		var sum float64
		for range soaks {
			batches := make([]Slot, Batches)
			missing := random.Float64() < share
			for i := range batches {
				batches[i].Frames = frames
				for range frames {
					if missing {
						batches[i].Missed++
						missing = random.Float64() >= 1/c.burst
					} else {
						missing = random.Float64() < share/(c.burst*(1-share))
					}
				}
			}
			_, _, inflation := effectiveFrames(batches)
			sum += inflation / soaks
		}
		assert.InEpsilon(t, c.want, sum, 3*math.Sqrt(2.0/11/soaks)+0.03, "burst of %g", c.burst)
	}
}

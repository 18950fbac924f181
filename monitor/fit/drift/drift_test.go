package drift

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

// C: found by a program in Python.
func TestFitByTheCheckValues(t *testing.T) {
	var slots []Mean
	for i := range 24 {
		hundredths := math.RoundToEven(100 * (0.02*float64(i) + 0.1*math.Sin(1.2*float64(i))))
		slots = append(slots, Mean{Sum: unit.Width(hundredths) * 10, N: 1})
	}
	l := leastSquares(pointsOf(slots, 5*unit.Minute))
	assert.InDelta(t, 242.55652, l.slope, 1e-5)
	assert.InDelta(t, 26.02999, l.error, 1e-5)
	assert.InDelta(t, 0.37189490, l.alike, 1e-8)
	alike, worth := l.likeness()
	assert.InDelta(t, 0.51721072, alike, 1e-8)
	assert.InDelta(t, 7.637003, worth, 1e-6)
	assert.InDelta(t, 114.69722, l.halfWidth(), 1e-5)
}

// resting is an output that drifts by so much an hour.
func resting(minutes int, perHour float64) (slots []Mean) {
	for i := range minutes {
		slots = append(slots, Mean{Sum: unit.Width(math.Round(1000 * perHour * float64(i) / 60)), N: 1000})
	}
	return slots
}

func TestFit(t *testing.T) {
	for name, c := range map[string]struct {
		slots        []Mean
		slot         unit.Duration
		tick, jitter unit.Width
		want         Drift
		refused      Refusal
	}{
		"nothing":            {nil, unit.Minute, 0, 0, Drift{}, TooShort},
		"nothing heard":      {make([]Mean, 600), unit.Minute, 0, 0, Drift{}, TooShort},
		"under two hours":    {resting(119, 60), unit.Minute, 0, 0, Drift{}, TooShort},
		"silence at the end": {append(resting(119, 60), Mean{}, Mean{}), unit.Minute, 0, 0, Drift{}, TooShort},
		"two hours":          {resting(120, 60), unit.Minute, 0, 0, Drift{PerHour: 60, Within: 1}, None},
		"backwards":          {resting(120, -60), unit.Minute, 0, 0, Drift{PerHour: -60, Within: 1}, None},
		"slots of half an hour": {
			resting(48, 1800), 30 * unit.Minute, 0, 0, Drift{PerHour: 60, Within: 1}, None,
		},
		"a coarse tick":           {resting(120, 60), unit.Minute, 1000, 499, Drift{PerHour: 60, Within: 751}, None},
		"jitter smooths it":       {resting(120, 60), unit.Minute, 1000, 500, Drift{PerHour: 60, Within: 1}, None},
		"two moments, far apart":  {append(append(resting(10, 0), make([]Mean, 120)...), resting(10, 0)...), unit.Minute, 0, 0, Drift{}, TooSparse},
		"a silence of many hours": {append(append(resting(60, 0), make([]Mean, 600)...), resting(60, 0)...), unit.Minute, 0, 0, Drift{}, None},
	} {
		t.Run(name, func(t *testing.T) {
			got, refused := Fit(c.slots, c.slot, c.tick, c.jitter)
			assert.Equal(t, c.refused, refused)
			assert.Equal(t, c.refused == None, refused.String() == "")
			assert.Equal(t, c.want.PerHour, got.PerHour)
			assert.InDelta(t, float64(c.want.Within), float64(got.Within), 1, "rounded up")
		})
	}
}

func TestTheDoubtIsRoundedUp(t *testing.T) {
	got, _ := Fit(resting(120, 60), unit.Minute, 333, 0)
	assert.Equal(t, unit.Width(250), got.Within, "one and a half ticks in two hours are 249.75")
}

// Neighbours across a silence are none.
func TestASilenceHasNoNeighbours(t *testing.T) {
	points := []point{{0, 0, 1}, {1, 1, -1}, {2, 2, 1}, {3, 3, -1}}
	l := leastSquares(points)
	points[2].slot, points[3].slot = 3, 4
	assert.Greater(t, leastSquares(points).alike, l.alike)
}

// What a checkpoint keeps is plain.
func TestAsJSON(t *testing.T) {
	text, err := json.Marshal([]Mean{{Sum: 5, N: 2}})
	require.NoError(t, err)
	assert.JSONEq(t, `[{"Sum": 5, "N": 2}]`, string(text))
}

// wandering is an output that drifts, with what else moves a resting width: noise from minute
// to minute, of which each is like the one before.
func wandering(random *rand.Rand, minutes int, perHour, alike float64) (slots []Mean) {
	const noise = 200.0 // ns
	rest := noise * random.NormFloat64()
	for i := range minutes {
		width := perHour*float64(i)/60 + rest + 30*random.NormFloat64()
		slots = append(slots, Mean{Sum: unit.Width(math.Round(100 * width)), N: 100})
		rest = alike*rest + math.Sqrt(1-alike*alike)*noise*random.NormFloat64()
	}
	return slots
}

// runs are how many soaks a cell of a simulation has.
func runs(t *testing.T) int {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 400
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

// The interval has the true drift in it as often as was found elsewhere, 0.92 at least,
// whatever the noise is like and however long the soak.
func TestCoverage(t *testing.T) {
	n := runs(t)
	for seed, c := range []struct {
		minutes int
		alike   float64
	}{{120, 0}, {120, 0.5}, {120, 0.8}, {480, 0.5}, {480, 0.9}, {1440, 0.9}, {1440, 0.95}} {
		within := 0
		for run := range n {
			random := rand.New(rand.NewPCG(uint64(seed), uint64(run)))
			perHour := 100 * random.NormFloat64()
			got, refused := Fit(wandering(random, c.minutes, perHour, c.alike), unit.Minute, 0, 0)
			require.Equal(t, None, refused)
			if math.Abs(float64(got.PerHour)-perHour) <= float64(got.Within) {
				within++
			}
		}
		t.Logf("%d min, neighbours alike by %.2f: %.3f", c.minutes, c.alike, float64(within)/float64(n))
		assert.GreaterOrEqual(t, float64(within)/float64(n), least(0.92, n), "%+v", c)
	}
}

package wiretime_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// adapter is a bus behind an adapter that hands over what it has every so often.
type adapter struct {
	period, clump, late unit.Duration // late: a host's own delay, uniform up to this
	missing             float64
}

func (a adapter) run(seed uint64, n int) (truth, dates []unit.Time) {
	rng := rand.New(rand.NewPCG(seed, 99))
	at := unit.Time(rng.Int64N(int64(20 * unit.Millisecond)))
	phase := unit.Duration(rng.Int64N(int64(a.clump + 1)))
	last := unit.Time(0)
	for range n {
		at = at.Add(a.period + unit.Duration(rng.Int64N(100_000)-50_000))
		if rng.Float64() < a.missing {
			continue
		}
		read := at
		if a.clump > 0 {
			read = at.Add(a.clump - 1 - phase).Truncate(a.clump).Add(phase)
		}
		if a.late > 0 {
			// one delay per tick, whatever frames it holds
			h := rand.New(rand.NewPCG(seed, uint64(read)))
			read = read.Add(unit.Duration(h.Int64N(int64(a.late))))
		}
		last = max(last, read)
		truth, dates = append(truth, at), append(dates, last)
	}
	return truth, dates
}

func offBy(truth, dates []unit.Time, skip int) (p50, p99 unit.Duration, missing int) {
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	var off []unit.Duration
	for i, d := range dates {
		w, pace := e.Frame(d)
		missing += pace.Missing
		if i >= skip {
			off = append(off, max(w.Sub(truth[i]), truth[i].Sub(w)))
		}
	}
	slices.Sort(off)
	return off[len(off)/2], off[len(off)*99/100], missing
}

func TestWireTimeBehindAClumpingAdapter(t *testing.T) {
	for _, c := range []struct {
		name     string
		a        adapter
		p50, p99 unit.Duration
	}{
		{"16 ms, 0.5 % missing", adapter{7 * unit.Millisecond, 16 * unit.Millisecond, 0, 0.005}, unit.Millisecond, 3 * unit.Millisecond},
		{"16 ms and the clock 40 ppm off", adapter{7*unit.Millisecond + 280, 16 * unit.Millisecond, 0, 0.005}, unit.Millisecond, 3 * unit.Millisecond},
		{"16 ms, busy host", adapter{7*unit.Millisecond + 333, 16 * unit.Millisecond, unit.Millisecond, 0.005}, unit.Millisecond, 3 * unit.Millisecond},
		{"14 ms bus", adapter{14*unit.Millisecond + 133, 16 * unit.Millisecond, 0, 0.005}, unit.Millisecond, 3 * unit.Millisecond},
		{"1 ms", adapter{7*unit.Millisecond + 77, unit.Millisecond, 200 * unit.Microsecond, 0.005}, unit.Millisecond, unit.Millisecond},
		{"9 ms bus", adapter{9*unit.Millisecond + 211, 16 * unit.Millisecond, 0, 0.005}, unit.Millisecond, 3 * unit.Millisecond},
	} {
		for seed := range uint64(40) { // some miss frames while they teach
			truth, dates := c.a.run(seed, 20_000)
			p50, p99, missing := offBy(truth, dates, 1500)
			assert.LessOrEqual(t, p50, c.p50, c.name)
			assert.LessOrEqual(t, p99, c.p99, c.name)
			assert.InDelta(t, 20_000-len(dates), missing, 5, c.name) // while learning, gaps go unseen
		}
	}
}

func TestBeforeThePeriodIsKnownWireIsTheDate(t *testing.T) {
	_, dates := adapter{period: 7 * unit.Millisecond}.run(1, 63)
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	for _, d := range dates {
		w, pace := e.Frame(d)
		require.Equal(t, d, w)
		require.False(t, pace.Known)
	}
}

func TestAHostThatStallsMakesNoFrameMissing(t *testing.T) {
	_, dates := adapter{period: 7 * unit.Millisecond}.run(2, 3000)
	for i := 1500; i < 1510; i++ { // 70 ms are read at once
		dates[i] = dates[1509]
	}
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	sum := 0
	for _, d := range dates {
		_, pace := e.Frame(d)
		sum += pace.Missing
	}
	assert.Zero(t, sum)
}

// A computer that is busy with other things reads late now and then, by
// anything up to 60 ms. That is no frame missing, and no other period.
func TestABusyHostBendsNothing(t *testing.T) {
	wrong, stalls := 0, 0
	for seed := range uint64(20) {
		truth, dates := adapter{period: 7 * unit.Millisecond, late: 1500 * unit.Microsecond}.run(seed, 60_000)
		rng := rand.New(rand.NewPCG(seed, 5))
		for i := 0; i < len(dates); i += 1 + rng.IntN(200) {
			stalls++
			late := dates[i].Add(unit.Duration(rng.Int64N(int64(60 * unit.Millisecond))))
			for ; i < len(dates) && dates[i] < late; i++ { // the late read takes all there is
				dates[i] = late
			}
		}
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		sum := 0
		for i, d := range dates {
			w, pace := e.Frame(d)
			sum += pace.Missing
			if i > 500 {
				require.InDelta(t, 7_000_000, int64(pace.Period), 70_000, "seed %d, frame %d", seed, i)
				require.Less(t, truth[i].Sub(w), 12*unit.Millisecond, "seed %d, frame %d", seed, i)
			}
		}
		wrong += max(sum, -sum)
	}
	// Two stalls on each other's heels may still pass for a gap.
	assert.Greater(t, stalls, 10_000)
	assert.LessOrEqual(t, wrong, 10)
}

func TestAnotherPeriodIsLearned(t *testing.T) {
	_, a := adapter{period: 7 * unit.Millisecond}.run(3, 1000)
	_, b := adapter{period: 14 * unit.Millisecond}.run(3, 1000)
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	var pace event.Pace
	for _, d := range a {
		_, pace = e.Frame(d)
	}
	require.InDelta(t, 7_000_000, int64(pace.Period), 5_000)
	for _, d := range b {
		_, pace = e.Frame(a[len(a)-1].Add(d.Sub(0)))
	}
	assert.InDelta(t, 14_000_000, int64(pace.Period), 10_000)
}

func TestEstimatesNeverRunBackNorAhead(t *testing.T) {
	for seed, a := range []adapter{
		{7 * unit.Millisecond, 16 * unit.Millisecond, 5 * unit.Millisecond, 0.05},
		{7 * unit.Millisecond, 16 * unit.Millisecond, 30 * unit.Millisecond, 0.05},
		{7 * unit.Millisecond, unit.Millisecond, 60 * unit.Millisecond, 0},
	} {
		_, dates := a.run(uint64(seed), 5000)
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		last := unit.Time(0)
		for _, d := range dates {
			w, _ := e.Frame(d)
			require.GreaterOrEqual(t, w, last)
			require.LessOrEqual(t, w, d)
			last = w
		}
	}
}

func BenchmarkFrame(b *testing.B) {
	_, dates := adapter{7 * unit.Millisecond, 16 * unit.Millisecond, 0, 0.005}.run(5, 100_000)
	b.ReportAllocs()
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	i, base := 0, unit.Duration(0)
	for b.Loop() {
		e.Frame(dates[i].Add(base))
		if i++; i == len(dates) {
			i, base = 0, base+dates[len(dates)-1].Sub(0)
		}
	}
}

func TestLearningBeginsAnewAfterASilence(t *testing.T) {
	_, dates := adapter{period: 7 * unit.Millisecond}.run(6, 200)
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	for _, d := range dates[:40] {
		_, pace := e.Frame(d)
		require.False(t, pace.Known)
	}
	for i, d := range dates[:64] {
		_, pace := e.Frame(d.Add(5 * unit.Second))
		require.Equal(t, i == 63, pace.Known, i)
		if pace.Known {
			require.InDelta(t, 7_000_000, int64(pace.Period), 20_000)
		}
	}
}

// A slow bus behind a slow adapter: the lags come in steps, and no frame is missing.
func TestNothingIsMissingBehindASlowAdapter(t *testing.T) {
	for _, period := range []unit.Duration{7, 9, 11, 14} {
		_, dates := adapter{period: period*unit.Millisecond + 133, clump: 16 * unit.Millisecond}.run(uint64(period), 3000)
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		for i, d := range dates {
			_, pace := e.Frame(d)
			require.Zero(t, pace.Missing, "%d ms, frame %d", period, i)
		}
	}
}

// Frames that go missing show nothing of the period.
func TestMissingFramesBendNothing(t *testing.T) {
	_, whole := adapter{period: 7 * unit.Millisecond}.run(8, 20_000)
	rng := rand.New(rand.NewPCG(8, 1))
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	missing, skipped := 0, 0
	for i, d := range whole {
		if i > 500 && rng.Float64() < 0.03 {
			skipped++
			continue
		}
		_, pace := e.Frame(d)
		missing += pace.Missing
		if i > 300 {
			require.InDelta(t, 7_000_000, int64(pace.Period), 3000, "frame %d", i)
		}
	}
	assert.Equal(t, skipped, missing)
}

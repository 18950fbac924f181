package wiretime_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// A computer that reads late while the period is learned makes long clumps look usual, so a longer late
// read soon behind them is a silence to nobody. The line is laid anew at the date of its first frame, and
// each frame that was read with it pulls it down by a whole period. That bends no period.
func TestALateReadBendsNoPeriod(t *testing.T) {
	for _, period := range []unit.Duration{11, 14, 22} {
		for seed := range seeds(t) {
			_, dates := adapter{period: period * ms, late: ms}.run(seed, 3000)
			stall(dates, 20, 12*period*ms)
			stall(dates, 90+int(seed%30), 22*period*ms)
			e := wiretime.NewEstimator(3 * unit.Millisecond)
			known, missing := 0, 0
			for i, d := range dates {
				_, pace := e.Frame(d)
				missing += pace.Missing
				if pace.Known {
					known++
					require.InEpsilon(t, int64(period*ms), int64(pace.Period), 0.005, "%d ms, seed %d, frame %d", period, seed, i)
				}
			}
			require.Greater(t, known, 2500)
			require.Zero(t, missing, "%d ms, seed %d", period, seed)
		}
	}
}

// goesOn are dates of frames on time: from one behind an instant on.
func goesOn(dates []unit.Time, from unit.Time, period unit.Duration, n int) []unit.Time {
	for i := range n {
		dates = append(dates, from.Add(unit.Duration(i+1)*period))
	}
	return dates
}

// Frames that look left out behind a late read are left out only if frames on time bear that out. Where
// the bus falls silent while nobody reads, none do: it is the silence that they are lacking in.
func TestFramesInDoubtAreNoGapBeforeASilence(t *testing.T) {
	const period = 11 * ms
	for _, c := range []struct {
		what           string
		away           unit.Duration // nobody reads
		atOnce, onTime int           // frames read then, and behind it
		silence        unit.Duration
		missing        int
	}{
		{"it falls silent while nobody reads", 34 * ms, 2, 0, 4 * unit.Second, 0},
		{"most of a late read is not there", 160 * ms, 6, 0, 1300 * ms, 0},
		{"all are there", 44 * ms, 4, 10, 4 * unit.Second, 0},
		{"two are left out, and frames on time say so", 33 * ms, 1, 6, 4 * unit.Second, 2},
		{"too few say so", 33 * ms, 1, 3, 4 * unit.Second, 0},
		{"and no silence follows", 33 * ms, 1, 100, 0, 2},
	} {
		dates := goesOn(nil, unit.Time(unit.Second), period, 300)
		read := dates[299].Add(c.away)
		for range c.atOnce {
			dates = append(dates, read)
		}
		dates = goesOn(dates, read, period, c.onTime)
		dates = goesOn(dates, dates[len(dates)-1].Add(c.silence), period, 100)
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		require.Equal(t, c.missing, follow(t, &e, dates).missing, c.what)
	}
}

// One late read on the heels of another, so that it turns out to be late in the second only.
func TestTwoLateReadsLackNothing(t *testing.T) {
	for _, period := range []unit.Duration{9, 11, 14} {
		for seed := range seeds(t) * 5 {
			_, dates := adapter{period: period * ms, clump: 16 * ms}.run(seed, 1500)
			n := 500 + int(seed%7)
			away := unit.Duration(60+seed*13%90) * ms
			second := n + stall(dates, n, away) + int(seed%4)
			stall(dates, second, unit.Duration(120+seed*7%250)*ms)
			e := wiretime.NewEstimator(3 * unit.Millisecond)
			require.LessOrEqual(t, follow(t, &e, dates).missing, 0, "%d ms, seed %d", period, seed)
		}
	}
}

// A period that was learned too short behind a late delivery is not borne out by windows in which the line
// had to be lifted: a late read would then look like a gap.
func TestALineThatIsLiftedBearsNoPeriodOut(t *testing.T) {
	const period, read, learnt = 9 * ms, 437, 437 + 16 + 64
	for seed := range seeds(t) * 5 {
		dates := goesOn(nil, unit.Time(unit.Second), period, 2000)
		for i := 400; i < learnt; i++ {
			late := unit.Duration(learnt-i) * unit.Duration(60+seed%50) * unit.Microsecond // a little less with each frame
			dates[i] = max(dates[i].Add(late), dates[read-1])
		}
		for i := learnt + 100; i < 1900; i += 90 + int(seed*37%100) {
			stall(dates, i, unit.Duration(30+(seed*31+uint64(i))%60)*ms)
		}
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		require.LessOrEqual(t, follow(t, &e, dates).missing, 0, "seed %d", seed)
	}
}

package wiretime_test

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

const ms = unit.Millisecond

// seeds is how many benches are tried: few, or as many as BENCHPROOF_SEEDS says.
func seeds(t *testing.T) uint64 {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 20
	}
	n, err := strconv.ParseUint(text, 10, 64)
	require.NoError(t, err)
	return n
}

// sums is what an estimator made of a list of dates.
type sums struct {
	late, missing int
	pace          event.Pace
	first         int           // index of the first frame that was known late, -1: none
	patience      unit.Duration // the longest behind a late one
}

// follow hands dates to an estimator and holds what is true of every frame: no period
// that a bus can't have, no estimate behind its date or before the one before.
func follow(t *testing.T, e *wiretime.Estimator, dates []unit.Time) (s sums) {
	s.first = -1
	var before unit.Time
	for i, d := range dates {
		w, pace := e.Frame(d)
		if w > d || w < before || pace.Late && w != d || pace.Known && pace.Period < 2900*unit.Microsecond {
			require.Fail(t, "no estimate", "frame %d, read at %d: %d behind %d, %+v", i, d, w, before, pace)
		}
		if pace.Late {
			if s.first < 0 {
				s.first = i
			}
			s.late++
			s.patience = max(s.patience, pace.Patience)
		}
		s.missing += pace.Missing
		s.pace, before = pace, w
	}
	return s
}

// stall delays what was read from frame i on for d to one date, a few
// microseconds each.
func stall(dates []unit.Time, i int, d unit.Duration) (frames int) {
	ends := dates[i-1].Add(d)
	for ; i < len(dates) && dates[i] < ends.Add(unit.Duration(frames)*30*unit.Microsecond); i++ {
		dates[i] = ends.Add(unit.Duration(frames) * 30 * unit.Microsecond)
		frames++
	}
	return frames
}

func at(period unit.Duration) int { return int(3 * unit.Second / period) }

func TestWhatAStallDeliversHasNoPeriod(t *testing.T) {
	for _, stood := range []unit.Duration{200, 500, 1000, 2000, 5000, 10_000} {
		for _, period := range []unit.Duration{7, 9, 14, 22} {
			for _, clump := range []unit.Duration{0, 16} {
				t.Run(fmt.Sprintf("%d ms of %d ms by %d ms", stood, period, clump), func(t *testing.T) {
					for seed := range uint64(20) {
						a := adapter{period: period*ms + 33*unit.Microsecond, clump: clump * ms}
						n := at(a.period)
						_, dates := a.run(seed, 2*n+int(stood*ms/a.period))
						frames := stall(dates, n+int(seed), stood*ms)
						e := wiretime.NewEstimator(3 * unit.Millisecond)
						s := follow(t, &e, dates)
						require.Zero(t, s.missing, "seed %d", seed)
						require.Positive(t, s.late, "seed %d", seed)
						require.InDelta(t, frames, s.late+s.first-n-int(seed), 4, "seed %d", seed)
						require.LessOrEqual(t, s.first-n-int(seed), 15, "seed %d", seed)
						require.InDelta(t, int64(min(2*stood*ms, 2*unit.Second)), int64(s.patience), float64(60*ms), "seed %d", seed)
						require.True(t, s.pace.Known)
						require.InEpsilon(t, int64(a.period), int64(s.pace.Period), 0.02, "seed %d", seed)
					}
				})
			}
		}
	}
}

func TestABacklogAtOpeningHasNoPeriod(t *testing.T) {
	for _, frames := range []int{5, 20, 33, 40, 64, 200, 2000} {
		for seed := range uint64(20) {
			a := adapter{period: 7*ms + 21*unit.Microsecond, clump: unit.Duration(seed%2) * 16 * ms}
			_, dates := a.run(seed, frames+at(a.period))
			for i := range frames {
				dates[i] = dates[frames].Add(unit.Duration(i-frames) * 20 * unit.Microsecond)
			}
			e := wiretime.NewEstimator(3 * unit.Millisecond)
			s := follow(t, &e, dates)
			if frames >= 20 {
				require.InDelta(t, frames, s.late+s.first, 4)
				require.LessOrEqual(t, s.first, 20)
			}
			require.Zero(t, s.missing, "%d, seed %d", frames, seed)
			require.InEpsilon(t, int64(a.period), int64(s.pace.Period), 0.02, "%d, seed %d", frames, seed)
		}
	}
}

// A computer that catches up is called away in the middle of it.
func TestAStallInPieces(t *testing.T) {
	for seed := range uint64(20) {
		_, dates := adapter{period: 7 * ms}.run(seed, 2000)
		from := dates[499].Add(3 * unit.Second)
		i := 500
		for ; dates[i] < from.Add(unit.Duration(i/100)*20*ms); i++ {
			dates[i] = from.Add(unit.Duration(i/100) * 20 * ms)
		}
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		s := follow(t, &e, dates)
		require.Zero(t, s.missing)
		require.InDelta(t, i-500, s.late, 120, "a few of each piece are known later")
		require.InEpsilon(t, int64(7*ms), int64(s.pace.Period), 0.02)
	}
}

// Faster than any bus, and on and on: no bus.
func TestNoBusIsFasterThanItsFrames(t *testing.T) {
	for _, period := range []unit.Duration{0, 10 * unit.Microsecond, ms, 2 * ms, 2800 * unit.Microsecond} {
		dates := make([]unit.Time, 5000)
		for i := range dates {
			dates[i] = unit.Time(unit.Second + unit.Duration(i)*period)
		}
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		s := follow(t, &e, dates)
		require.False(t, s.pace.Known, "%d", period)
	}
	_, dates := adapter{period: 3 * ms}.run(1, 1000)
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	s := follow(t, &e, dates)
	require.Zero(t, s.late)
	require.InEpsilon(t, int64(3*ms), int64(s.pace.Period), 0.01, "frame behind frame is a bus")
}

func offBy50th(p *event.Pace, period unit.Duration) bool {
	return max(p.Period-period, period-p.Period) > period/50
}

func TestAnotherPaceBehindAnAdapterThatClumps(t *testing.T) {
	for _, c := range [][2]unit.Duration{{14, 7}, {9, 7}, {22, 7}, {7, 14}, {7, 22}, {14, 9}, {9, 14}, {7, 9}, {22, 14}, {11, 7}} {
		for _, clump := range []unit.Duration{0, 1, 16} {
			t.Run(fmt.Sprintf("%d to %d by %d ms", c[0], c[1], clump), func(t *testing.T) {
				worst := unit.Duration(0)
				for seed := range seeds(t) {
					was := adapter{period: c[0]*ms + unit.Duration(seed%7)*11*unit.Microsecond, clump: clump * ms, late: unit.Duration(seed%3) * 400 * unit.Microsecond}
					now := was
					now.period = c[1]*ms + unit.Duration(seed%5)*13*unit.Microsecond
					_, a := was.run(seed, at(was.period)+int(seed)*23%64)
					truth, b := now.run(seed, at(now.period)*4)
					for i := range b {
						b[i] = b[i].Add(a[len(a)-1].Sub(0))
						truth[i] = truth[i].Add(a[len(a)-1].Sub(0))
					}
					e := wiretime.NewEstimator(3 * unit.Millisecond)
					require.Zero(t, follow(t, &e, a).late)
					right := 0
					for i, d := range b {
						_, pace := e.Frame(d)
						if pace.Late {
							require.Fail(t, "late", "seed %d, frame %d", seed, i)
						}
						if offBy50th(&pace, now.period) {
							right = i + 1
						}
					}
					require.Less(t, right, len(b), "seed %d: never learned", seed)
					worst = max(worst, b[right].Sub(b[0]))
				}
				t.Logf("at the worst after %d ms", worst/ms)
				assert.LessOrEqual(t, worst, 123*c[1]*ms, "less than two windows")
			})
		}
	}
}

// A computer that was away for less than makes a silence is busy, however slowly it
// catches up.
func TestABusyComputerIsNotLate(t *testing.T) {
	_, dates := adapter{period: 3 * ms}.run(1, 2000)
	for i, behind := 1000, dates[999].Add(75*ms); dates[i] < behind; i, behind = i+1, behind.Add(1900*unit.Microsecond) {
		dates[i] = behind
	}
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	require.Zero(t, follow(t, &e, dates).late)
}

// Over many benches no frame is late that was not, and no period is off.
func TestNothingIsLateThatWasNot(t *testing.T) {
	for seed := range seeds(t) {
		for _, period := range []unit.Duration{3, 7, 9, 14, 22} {
			a := adapter{
				period: period*ms + unit.Duration(seed)*unit.Microsecond, clump: unit.Duration(seed%3) * 8 * ms,
				late: unit.Duration(seed%5) * 300 * unit.Microsecond, missing: float64(seed%4) * 0.003,
			}
			_, dates := a.run(seed, int(10*unit.Second/a.period))
			hiccup := unit.Duration(seed%9) * 100 * ms
			for i := len(dates) / 2; i < len(dates); i++ {
				dates[i] = dates[i].Add(hiccup / (16 * ms) * (16 * ms))
			}
			e := wiretime.NewEstimator(3 * unit.Millisecond)
			for i, d := range dates {
				_, pace := e.Frame(d)
				off := period > 3 && d > dates[0].Add(3*unit.Second) && offBy50th(&pace, a.period)
				if a.missing > 0 && off { // one that is missing while the period is learned puts it off by more
					off = max(pace.Period-a.period, a.period-pace.Period) > a.period/20
				}
				if pace.Late || off {
					require.Fail(t, "late, or off", "%d ms, seed %d, frame %d: %+v", period, seed, i, pace)
				}
			}
		}
	}
}

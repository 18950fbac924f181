package wiretime_test

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// boardPulse is a pulse whose true time is known.
type boardPulse struct {
	truth, date unit.Time
	board       unit.Duration
}

// boardLines are the pulses of four outputs at 50 Hz over some seconds, dated by a
// board whose clock is off by parts per million and read through an adapter that
// hands over each clump. A tick is 500 ns.
func boardLines(seed uint64, seconds int, ppm int64, clump unit.Duration) (list []boardPulse) {
	rng := rand.New(rand.NewPCG(seed, 1))
	start := unit.Time(rng.Int64N(int64(unit.Second)))
	for t := start; t < start.Add(unit.Duration(seconds)*unit.Second); t = t.Add(5 * unit.Millisecond) {
		truth := t.Add(unit.Duration(rng.Int64N(int64(2 * unit.Millisecond))))
		read := truth.Add(600 * unit.Microsecond) // its line's 30 characters at 500 kbaud
		if clump > 0 {
			read = read.Add(clump - 1).Truncate(clump)
		}
		read = read.Add(unit.Duration(rng.ExpFloat64() * 150_000)) // the computer's own
		board := int64(truth.Sub(start)) * 1_000_000 / (1_000_000 + ppm) / 500 * 500
		list = append(list, boardPulse{truth, read, unit.Duration(board + 77_000_000)})
	}
	for i := 1; i < len(list); i++ {
		list[i].date = max(list[i].date, list[i-1].date)
	}
	return list
}

func TestTheBoardsClock(t *testing.T) {
	for _, c := range []struct {
		name  string
		ppm   int64
		clump unit.Duration
		p99   unit.Duration // of the error after the first five seconds
	}{
		{"a crystal, read soon", 60, 0, 700 * unit.Microsecond},
		{"a resonator, read soon", -4500, 0, 700 * unit.Microsecond},
		{"a crystal, 16 ms clumps", -100, 16 * unit.Millisecond, 1500 * unit.Microsecond},
		{"a resonator, 16 ms clumps", 5000, 16 * unit.Millisecond, 1500 * unit.Microsecond},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(5) {
				var b wiretime.BoardEstimator
				var off []unit.Duration
				var before unit.Time
				for i, p := range boardLines(seed, 60, c.ppm, c.clump) {
					at := b.At(0, p.board, p.date)
					require.LessOrEqual(t, at, p.date, "a line is never read before it came")
					require.GreaterOrEqual(t, at, before)
					before = at
					if i > 1000 {
						off = append(off, max(at.Sub(p.truth), p.truth.Sub(at)))
					}
				}
				slices.Sort(off)
				assert.Less(t, off[len(off)*99/100], c.p99, "seed %d", seed)
				assert.InDelta(t, float64(c.ppm*1000), float64(b.Off), 120_000, "seed %d: parts per billion", seed)
			}
		})
	}
}

func TestTheBoardsClockBeginsAnew(t *testing.T) {
	var b wiretime.BoardEstimator
	for _, p := range boardLines(1, 10, 100, 0) {
		b.At(0, p.board, p.date)
	}
	last := b.Out
	at := b.At(1, 5, last.Add(unit.Second))
	assert.Equal(t, last.Add(unit.Second), at, "restarted: the date is all that is known")
	at = b.At(1, 5+1_000_000, last.Add(unit.Second+unit.Millisecond))
	assert.InDelta(t, float64(last.Add(unit.Second+unit.Millisecond)), float64(at), 1000)

	at = b.At(2, 5+1_010_000, last.Add(2*unit.Second))
	assert.Equal(t, last.Add(2*unit.Second), at, "again, and its new ticks look like the old ones")

	b.Reset()
	at = b.At(2, 9_000_000_000, last.Add(3*unit.Second))
	assert.Equal(t, last.Add(3*unit.Second), at)
}

func TestTicksThatWentRoundUnheard(t *testing.T) {
	var b wiretime.BoardEstimator
	for _, p := range boardLines(1, 10, 0, 0) {
		b.At(0, p.board, p.date)
	}
	later := b.Out.Add(4000 * unit.Second)
	assert.Equal(t, later, b.At(0, b.Origin+5_000_000, later), "an old line is not believed over an hour")
}

func TestTheBoardsClockFromACheckpoint(t *testing.T) {
	lines := boardLines(3, 20, 2000, 16*unit.Millisecond)
	var whole, half wiretime.BoardEstimator
	for i, p := range lines {
		if i == len(lines)/2 {
			raw, err := json.Marshal(&whole)
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(raw, &half))
		}
		at := whole.At(0, p.board, p.date)
		if i >= len(lines)/2 {
			require.Equal(t, at, half.At(0, p.board, p.date))
		}
	}
}

// The line lies below all dates: the soonest read of a second says where.
func TestTheSoonestLineCounts(t *testing.T) {
	const ms = unit.Millisecond
	var b wiretime.BoardEstimator
	assert.Equal(t, unit.Time(100*ms), b.At(0, 0, unit.Time(100*ms)))
	assert.Equal(t, unit.Time(110*ms), b.At(0, 10_000_000, unit.Time(115*ms)), "5 ms late")
	assert.Equal(t, unit.Time(117*ms), b.At(0, 20_000_000, unit.Time(117*ms)), "sooner than any before: they were all 3 ms late")
	assert.Equal(t, unit.Time(127*ms), b.At(0, 30_000_000, unit.Time(130*ms)))
}

func TestEstimatesNeverDecrease(t *testing.T) {
	const ms = unit.Millisecond
	var b wiretime.BoardEstimator
	assert.Equal(t, unit.Time(100*ms), b.At(0, 0, unit.Time(100*ms)))
	assert.Equal(t, unit.Time(120*ms), b.At(0, 20_000_000, unit.Time(120*ms)))
	assert.Equal(t, unit.Time(120*ms), b.At(0, 10_000_000, unit.Time(125*ms)), "of an edge that was told late")
}

// Whatever the line says, nothing is read before it happened.
func TestNoEstimateIsLaterThanItsDate(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 9))
		var b wiretime.BoardEstimator
		var date unit.Time
		board := unit.Duration(0)
		for range 2000 {
			date = date.Add(unit.Duration(rng.Int64N(int64(20 * unit.Millisecond))))
			board += unit.Duration(rng.Int64N(20_000_000))
			require.LessOrEqual(t, b.At(0, board, date), date)
		}
	}
}

// A clock that seems to be off by more than any is none: the computer or the board
// stood still.
func TestARateThatNoClockHas(t *testing.T) {
	var b wiretime.BoardEstimator
	for i := range unit.Duration(400) { // each second of the board takes 1.02 of the bench
		b.At(0, i*50_000_000, unit.Time(i*51_000_000))
	}
	assert.Zero(t, b.Off)
}

// Two or three points tell a rate from the computer's moods.
func TestTheRateIsNotBelievedSoon(t *testing.T) {
	var b wiretime.BoardEstimator
	for i := range unit.Duration(75) { // less than four seconds
		b.At(0, i*50_000_000, unit.Time(i*50_250_000))
	}
	assert.Zero(t, b.Off)
	for i := unit.Duration(75); i < 140; i++ {
		b.At(0, i*50_000_000, unit.Time(i*50_250_000))
	}
	assert.InDelta(t, 5_000_000, float64(b.Off), 100_000, "parts per billion")
	b.Reset()
	assert.InDelta(t, 5_000_000, float64(b.Off), 100_000, "a port that went away leaves the board as it is")
}

package wiretime_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// settles is how many frames pass until what went missing is counted.
const settles = 20

// ragged are the frames of a minute, each read by a computer that is starved: again and
// again it stands still for 30 to 90 ms and then reads all that lay waiting.
func ragged(period unit.Duration, seed uint64) (dates []unit.Duration) {
	rng := rand.New(rand.NewPCG(seed, 3))
	var last, busy, next unit.Duration
	for at := unit.Duration(0); at < 60*unit.Second; at += period {
		for at >= next {
			busy = next + unit.Duration(30+rng.Int64N(61))*unit.Millisecond
			next = busy + unit.Duration(20+rng.Int64N(400))*unit.Millisecond
		}
		date := max(at+unit.Duration(rng.Int64N(int64(unit.Millisecond))), busy+unit.Duration(rng.Int64N(50_000)))
		if at >= busy {
			date = at + unit.Duration(rng.Int64N(int64(unit.Millisecond)))
		}
		last = max(date/1000*1000, last)
		dates = append(dates, last)
	}
	return dates
}

// A starved computer reads late and loses nothing. The period that was learned from such
// dates may be off by a thousandth: every window that only seemed to lack frames mends it.
func TestRaggedReadsLackNothing(t *testing.T) {
	for _, period := range []unit.Duration{7, 9, 14} {
		for seed := range uint64(200) {
			e := wiretime.NewEstimator(3 * unit.Millisecond)
			net, wait := 0, 0
			for n, date := range ragged(period*unit.Millisecond, seed) {
				if _, p := e.Frame(unit.Time(date)); p.Missing != 0 {
					net, wait = net+p.Missing, settles
				}
				if wait--; wait == 0 {
					assert.LessOrEqual(t, net, 0, "%d ms, seed %d, frame %d", period, seed, n)
					net = 0
				}
			}
		}
	}
}

package uart

import (
	"math/bits"

	"benchproof.example/decode/edge"
)

// grid is where half bits lie, in ticks: half bit h at h·num/den after the start. A
// bit need not be a whole number of ticks, so each place is reckoned from the start
// and no error adds up.
type grid struct{ num, den uint64 }

func newGrid(rate edge.Rate, baud int64) grid {
	// A half bit is 10⁹/(2·baud) ns, a tick num/den ns.
	num, den := uint64(rate.Den), uint64(rate.Num)
	common := gcd(500_000_000, uint64(baud))
	a, b := uint64(500_000_000)/common, uint64(baud)/common
	c1, c2 := gcd(num, b), gcd(a, den)
	return grid{num / c1 * (a / c2), den / c2 * (b / c1)}
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// at is the place of a half bit, ticks from the start, rounded down. What does not
// fit is the largest number.
func (g grid) at(half int64) int64 {
	hi, lo := bits.Mul64(uint64(half), g.num)
	if hi >= g.den {
		return 1<<63 - 1
	}
	q, _ := bits.Div64(hi, lo, g.den)
	return int64(min(q, 1<<63-1))
}

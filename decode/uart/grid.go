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
	return grid{product(num/c1, a/c2), product(den/c2, b/c1)}
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// product is a·b, or the largest number where it does not fit. No format passes
// its check with that: it would be a bit of half a tick or less, or of ages.
func product(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	if hi > 0 {
		return 1<<64 - 1
	}
	return lo
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

// one is a bit in units of pace: as fine as the eleven bits of the longest character
// leave room for in 64 bits.
const one = 1 << 60

// pace is how many bits a tick is, times one, rounded down. Over a character it is
// wrong by 11·2³⁸/2⁶⁰ of a bit at most, as no bit has more than 2³⁸ ticks.
func (g grid) pace() uint64 {
	hi, lo := bits.Mul64(g.den, one/2)
	q, _ := bits.Div64(hi, lo, g.num)
	return q
}

package edge_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"benchproof.example/decode/edge"
)

func TestLevels(t *testing.T) {
	assert.Equal(t, edge.High, edge.Low.Not())
	assert.Equal(t, edge.Low, edge.High.Not())
	assert.Equal(t, edge.Unknown, edge.Unknown.Not())
	assert.Equal(t, []string{"low", "high", "unknown"}, []string{edge.Low.String(), edge.High.String(), edge.Unknown.String()})
}

func TestTicksAndNanoseconds(t *testing.T) {
	for _, c := range []struct {
		name       string
		rate       edge.Rate
		tick, want int64
	}{
		{"a nanosecond", edge.Nanosecond, -7, -7},
		{"ten picoseconds", edge.Rate{Num: 1, Den: 100}, 12_345, 123},
		{"rounded down below zero", edge.Rate{Num: 1, Den: 100}, -1, -1},
		{"whole below zero", edge.Rate{Num: 1, Den: 100}, -200, -2},
		{"just beyond what fits", edge.Rate{Num: 2, Den: 1}, 1 << 62, math.MaxInt64},
		{"just within what fits", edge.Rate{Num: 2, Den: 1}, 1<<62 - 1, math.MaxInt64 - 1},
		{"a microsecond", edge.Rate{Num: 1000, Den: 1}, 9, 9000},
		{"half a microsecond", edge.Rate{Num: 500, Den: 1}, 3, 1500},
		{"beyond what fits", edge.Rate{Num: 1_000_000_000, Den: 1}, math.MaxInt64, math.MaxInt64},
		{"beyond what fits, downwards", edge.Rate{Num: 1_000_000_000, Den: 1}, -math.MaxInt64, math.MinInt64},
		{"the smallest that fits", edge.Rate{Num: 2, Den: 1}, -1 << 62, math.MinInt64},
		{"just beyond it", edge.Rate{Num: 2, Den: 1}, -1<<62 - 1, math.MinInt64},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, c.rate.Nanos(c.tick)) })
	}
	assert.Equal(t, int64(3), edge.Rate{Num: 500, Den: 1}.Ticks(1999))
}

// The arithmetic of math/big is the check.
func TestAsBigIntegers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := edge.Rate{Num: rapid.Int64Range(1, 1<<40).Draw(t, "num"), Den: rapid.Int64Range(1, 1<<40).Draw(t, "den")}
		tick := rapid.Int64Range(-1<<62, 1<<62).Draw(t, "tick")
		want := new(big.Int).Mul(big.NewInt(tick), big.NewInt(rate.Num))
		want.Div(want, big.NewInt(rate.Den)) // Euclidean, which for a positive divisor is floor
		if want.IsInt64() {
			assert.Equal(t, want.Int64(), rate.Nanos(tick))
		} else {
			assert.Equal(t, map[int]int64{1: math.MaxInt64, -1: math.MinInt64}[want.Sign()], rate.Nanos(tick))
		}
	})
}

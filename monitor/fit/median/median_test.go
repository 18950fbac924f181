package median_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/median"
)

func TestTheMiddleOne(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []int64
		want   int64
	}{
		{"one", []int64{3}, 3},
		{"of two the lower", []int64{9, 3}, 3},
		{"three that are wrong", []int64{5, 5, 99, 99, 99, 5, 5}, 5},
		{"four are no mistake", []int64{5, 5, 99, 99, 99, 99, 5}, 99},
		{"a movement", []int64{1, 2, 3, 4, 5, 6, 7}, 4},
	} {
		before := append([]int64{}, c.values...)
		assert.Equal(t, c.want, median.Of(c.values), c.name)
		assert.Equal(t, before, c.values, c.name)
	}
	assert.Equal(t, 4, median.MinFrames)
	assert.Equal(t, 3, median.Behind)
}

// Whatever has an order has that of zeros and ones: what does not exceed a value, and what does.
func TestTheMiddleOneOfAnyOrder(t *testing.T) {
	for n := 1; n <= median.Window; n++ {
		for bits := range 1 << n {
			values := make([]uint32, n)
			for i := range values {
				values[i] = uint32(bits >> i & 1)
			}
			sorted := slices.Sorted(slices.Values(values))
			assert.Equal(t, sorted[(n-1)/2], median.Of(values), "%v", values)
		}
	}
}

func TestNothingIsAllocated(t *testing.T) {
	values := []uint32{4, 2, 6, 1, 7, 3, 5}
	assert.Zero(t, testing.AllocsPerRun(100, func() { median.Of(values) }))
}

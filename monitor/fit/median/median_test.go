package median_test

import (
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

func TestNothingIsAllocated(t *testing.T) {
	values := []uint32{4, 2, 6, 1, 7, 3, 5}
	assert.Zero(t, testing.AllocsPerRun(100, func() { median.Of(values) }))
}

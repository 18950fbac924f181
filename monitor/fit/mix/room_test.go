package mix

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Pieces are zeros, apart from one another, and the next fit has the same room.
func TestRoom(t *testing.T) {
	var r room
	first, second := r.take(3), r.take(2)
	copy(first, []float64{1, 2, 3})
	copy(second, []float64{4, 5})
	assert.Equal(t, []float64{1, 2, 3, 6}, append(first, 6))
	assert.Equal(t, []float64{4, 5}, second)

	large := r.take(2 * roomLeast) // more than there was
	assert.Len(t, large, 2*roomLeast)
	copy(large, []float64{7})
	assert.Equal(t, []float64{1, 2, 3}, first)

	r.clear()
	before := r.take(3)
	before[0] = 8
	r.clear()
	again := r.take(3)
	assert.Equal(t, []float64{0, 0, 0}, again)
	again[0] = 9
	assert.Equal(t, 9.0, before[0], "the same room")
	assert.Len(t, (*room)(nil).take(5), 5)
}

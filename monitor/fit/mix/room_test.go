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
	assert.Zero(t, testing.AllocsPerRun(10, func() {
		r.clear()
		assert.Equal(t, 0.0, r.take(2 * roomLeast)[0])
	}))
	assert.Len(t, (*room)(nil).take(5), 5)
}

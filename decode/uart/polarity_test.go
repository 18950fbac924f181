package uart_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

func found(t *testing.T, f uart.Format, edges []edge.Edge, end int64) (list []uart.Char, inverted bool) {
	a, err := uart.NewAuto(edge.Nanosecond, f)
	require.NoError(t, err)
	take := func(c *uart.Char) { list = append(list, *c) }
	for _, e := range edges {
		a.Edge(e, take)
	}
	a.End(take)
	a.Until(end, take)
	inverted, known := a.Inverted()
	require.True(t, known)
	return list, inverted
}

func TestPolarityIsFound(t *testing.T) {
	for _, inverted := range []bool{false, true} {
		f := uart.ServoBus
		f.Inverted = inverted
		rng := rand.New(rand.NewPCG(1, 1))
		edges, _, end := frames(t, 20, rng, f)
		got, as := found(t, f, edges, end)
		assert.Equal(t, inverted, as)
		assert.Equal(t, decoded(t, edge.Nanosecond, f, edges, end), got, "nothing is lost while it is looked for")

		// A capture that begins in a frame.
		got, as = found(t, f, edges[31:], end)
		assert.Equal(t, inverted, as)
		assert.Greater(t, len(got), 19*25-5)
	}
}

// Characters without a pause never rest: the polarity with fewer bad ones is taken.
func TestPolarityWithoutAPause(t *testing.T) {
	for _, inverted := range []bool{false, true} {
		f := uart.ServoBus
		f.Inverted = inverted
		rng := rand.New(rand.NewPCG(2, 2))
		for _, n := range []int{60, 4000} { // the end decides, or the room for edges
			edges, end := sent(t, edge.Nanosecond, f, anyBytes(rng, n), 0, 0, nil)
			got, as := found(t, f, edges[1:], end-100_000_000)
			assert.Equal(t, inverted, as)
			good := 0
			for i := range got {
				if !got[i].Bad() {
					good++
				}
			}
			assert.Greater(t, good, n*9/10)
		}
	}
}

func TestPolarityOfNothing(t *testing.T) {
	got, inverted := found(t, uart.ServoBus, nil, 1_000_000)
	assert.Empty(t, got)
	assert.False(t, inverted)
}

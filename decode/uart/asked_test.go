package uart_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// dirty is a line with characters, glitches, unknown levels, breaks, and levels reported
// twice.
func dirty(rng *rand.Rand, n int) (edges []edge.Edge, end int64) {
	for range n {
		edges = append(edges, edge.Edge{Tick: end, Level: []edge.Level{edge.Low, edge.High, edge.Low, edge.High, edge.Unknown}[rng.IntN(5)]})
		switch rng.IntN(8) {
		case 0:
			end += rng.Int64N(4_000)
		case 1:
			end += rng.Int64N(400_000)
		default:
			end += 10_000 * (1 + rng.Int64N(4))
		}
	}
	return edges, end
}

// Whatever Until is given that is true, as often as one likes, and wherever a
// checkpoint is taken, the characters are the same ones.
func TestDecoderIsAsked(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 4))
		f := []uart.Format{servoBus, plainly(100_000), {Baud: 100_000, Data: 7, Parity: uart.Odd, Stop: 1}}[seed%3]
		edges, end := dirty(rng, 400)
		want := decoded(t, edge.Nanosecond, f, edges, end)
		require.NotEmpty(t, want)
		whole, err := uart.NewDecoder(edge.Nanosecond, f)
		require.NoError(t, err)
		asked, err := uart.NewDecoder(edge.Nanosecond, f)
		require.NoError(t, err)
		var got []uart.Char
		take := func(c *uart.Char) { got = append(got, *c) }
		for i, e := range edges {
			whole.Edge(e, func(*uart.Char) {})
			asked.Edge(e, take)
			next := end
			if i+1 < len(edges) {
				next = edges[i+1].Tick
			}
			for _, at := range []int64{-20_000, 0, 1, 5_000, 15_000, 94_999, 95_000, 300_000, next - e.Tick} {
				asked.Until(min(e.Tick+at, next), take)
			}
			kept, err := json.Marshal(asked)
			require.NoError(t, err)
			asked, err = uart.NewDecoder(edge.Nanosecond, f)
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(kept, asked))
		}
		require.Equal(t, want, got, "seed %d", seed)
		assert.Equal(t, whole.Glitches, asked.Glitches)
	}
}

// A character is given at the centre of its stop bit, not before, and dated with the
// stop bit's end.
func TestDecoderGivesSoon(t *testing.T) {
	edges, _ := line(edge.High, 50, edge.Low, 10, edge.High, 100)
	d, err := uart.NewDecoder(edge.Nanosecond, plainly(100_000))
	require.NoError(t, err)
	var got []uart.Char
	take := func(c *uart.Char) { got = append(got, *c) }
	for _, e := range edges {
		d.Edge(e, take)
	}
	d.Until(50_000+94_999, take)
	assert.Empty(t, got)
	d.Until(50_000+95_000, take)
	assert.Equal(t, []uart.Char{{Start: 50_000, At: 150_000, Byte: 0xFF}}, got)
}

// Between characters, a level reported twice changes nothing, nor in one.
func TestALevelToldTwice(t *testing.T) {
	edges, end := sent(t, edge.Nanosecond, servoBus, anyBytes(rand.New(rand.NewPCG(1, 5)), 200), 0, 0, nil)
	var twice []edge.Edge
	for i, e := range edges {
		twice = append(twice, e)
		if i+1 < len(edges) {
			twice = append(twice, edge.Edge{Tick: (e.Tick + edges[i+1].Tick) / 2, Level: e.Level})
		}
	}
	assert.Equal(t, decoded(t, edge.Nanosecond, servoBus, edges, end), decoded(t, edge.Nanosecond, servoBus, twice, end))
}

// A clock that runs back to before a character cuts it off.
func TestAClockThatRunsBack(t *testing.T) {
	edges, _ := line(edge.High, 50, edge.Low, 10, edge.High, 10)
	edges = append(edges, edge.Edge{Tick: 0, Level: edge.Low}, edge.Edge{Tick: 10_000, Level: edge.High})
	assert.Equal(t, []uart.Char{{Start: 0, At: 100_000, Byte: 0xFF}}, decoded(t, edge.Nanosecond, plainly(100_000), edges, 200_000))
}

package uart_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// found is what a decoder makes of a line that finds the polarity by itself.
func found(t *testing.T, f uart.Format, edges []edge.Edge, end int64) (list []uart.Char, inverted bool) {
	t.Helper()
	a, err := uart.NewAuto(edge.Nanosecond, f)
	require.NoError(t, err)
	take := func(c *uart.Char) { list = append(list, *c) }
	for _, e := range edges {
		a.Edge(e, take)
	}
	a.Until(end, take)
	a.End(take)
	inverted, known := a.Inverted()
	require.True(t, known)
	return list, inverted
}

// before are edges ahead of a line that is idle until 1 ms: what upsets a search for
// the polarity.
func before(idle edge.Level) map[string][]edge.Edge {
	active := idle.Not()
	return map[string][]edge.Edge{
		"nothing":                {},
		"no power":               {{Tick: -20_000_000, Level: active}, {Tick: 0, Level: idle}},
		"no power, power, break": {{Tick: -20_000_000, Level: active}, {Tick: -9_000_000, Level: idle}, {Tick: -8_000_000, Level: active}, {Tick: 0, Level: idle}},
		"not driven":             {{Tick: -20_000_000, Level: edge.Unknown}, {Tick: 0, Level: idle}},
		"a glitch":               {{Tick: -20_000_000, Level: idle}, {Tick: -19_999_900, Level: active}, {Tick: -19_999_800, Level: idle}},
	}
}

// traffic sends bytes in bursts, with pauses between them.
func traffic(t *testing.T, f uart.Format, rng *rand.Rand, bursts, each int, pause int64) (edges []edge.Edge, end int64) {
	e, err := uart.NewEncoder(edge.Nanosecond, f, 0)
	require.NoError(t, err)
	edges = append(edges, e.Begin())
	e.Rest(1_000_000)
	for range bursts {
		for _, b := range anyBytes(rng, each) {
			edges = e.Send(edges, b)
		}
		e.Rest(e.Now() + pause)
	}
	return edges, e.Now() + 1_000_000
}

// The polarity is found, and nothing is lost or altered while it is looked for:
// whatever comes first, in one burst and in many, and where the wrong parity was
// asked for. Seeds: 20.
func TestPolarityIsFound(t *testing.T) {
	odd := servoBus
	odd.Parity = uart.Odd
	for _, c := range []struct {
		name         string
		sent, asked  uart.Format
		bursts, each int
		pause        int64
	}{
		{"frames of a servo bus", servoBus, servoBus, 20, 25, 4_000_000},
		{"one frame", servoBus, servoBus, 1, 25, 4_000_000},
		{"the wrong parity", servoBus, odd, 20, 25, 4_000_000},
		{"the wrong parity, one frame", servoBus, odd, 1, 25, 4_000_000},
		{"the wrong rate", servoBus, plainly(115_200), 20, 25, 4_000_000},
		{"a byte now and then", plainly(115_200), plainly(115_200), 30, 1, 50_000_000},
		{"one byte", plainly(9600), plainly(9600), 1, 1, 50_000_000},
		{"no pause", plainly(500_000), plainly(500_000), 1, 4000, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(20) {
				c.sent.Inverted = seed%2 == 0
				idle := edge.High
				if c.sent.Inverted {
					idle = edge.Low
				}
				c.asked.Inverted = c.sent.Inverted
				edges, end := traffic(t, c.sent, rand.New(rand.NewPCG(seed, 1)), c.bursts, c.each, c.pause)
				for name, first := range before(idle) {
					all := append(first, edges[1:]...)
					if len(first) == 0 {
						all = edges
					}
					want := decoded(t, edge.Nanosecond, c.asked, all, end)
					wrong := c.asked
					wrong.Inverted = !wrong.Inverted
					got, inverted := found(t, wrong, all, end)
					require.Equal(t, c.sent.Inverted, inverted, "seed %d, %s", seed, name)
					require.Equal(t, want, got, "seed %d, %s", seed, name)
				}
			}
		})
	}
}

// A capture may begin anywhere in the traffic, and have no pause at all.
func TestPolarityFromTheMidst(t *testing.T) {
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 2))
		f := []uart.Format{servoBus, plainly(100_000)}[seed%2]
		f.Inverted = rng.IntN(2) == 0
		edges, end := traffic(t, f, rng, 1, 60+rng.IntN(4000), 0)
		edges = edges[1+rng.IntN(200):]
		got, inverted := found(t, f, edges, end-1_000_000)
		require.Equal(t, f.Inverted, inverted, "seed %d", seed)
		require.Equal(t, decoded(t, edge.Nanosecond, f, edges, end-1_000_000), got, "seed %d", seed)
	}
}

// Once it is known, characters come as soon as they are complete.
func TestPolarityIsKnownSoon(t *testing.T) {
	a, err := uart.NewAuto(edge.Nanosecond, plainly(100_000))
	require.NoError(t, err)
	n := 0
	take := func(*uart.Char) { n++ }
	edges, end := line(edge.High, 300, edge.Low, 10, edge.High, 290, edge.Low, 10, edge.High, 200)
	for i, e := range edges {
		a.Edge(e, take)
		if i == 0 { // a rest counts once
			a.Until(250_000, take)
			a.Until(260_000, take)
			a.Until(270_000, take)
		}
	}
	a.Until(end-1, take)
	_, known := a.Inverted()
	assert.False(t, known, "two rests and nearly a third")
	assert.Zero(t, n)
	a.Until(end, take)
	a.Until(end, take)
	inverted, known := a.Inverted()
	assert.True(t, known)
	assert.False(t, inverted)
	assert.Equal(t, 2, n)
}

// No more than 8192 edges are waited for.
func TestPolarityIsBounded(t *testing.T) {
	for _, inverted := range []bool{false, true} {
		f := plainly(500_000)
		f.Inverted = inverted
		edges, _ := traffic(t, f, rand.New(rand.NewPCG(3, 3)), 1, 4000, 0)
		a, err := uart.NewAuto(edge.Nanosecond, f)
		require.NoError(t, err)
		for i, e := range edges[:8192] {
			_, known := a.Inverted()
			require.False(t, known, "edge %d", i)
			a.Edge(e, func(*uart.Char) {})
		}
		as, known := a.Inverted()
		assert.True(t, known)
		assert.Equal(t, inverted, as)
	}
}

func TestPolarityOfNothing(t *testing.T) {
	for _, edges := range [][]edge.Edge{nil, {{Tick: 0, Level: edge.Unknown}}} {
		t.Run(fmt.Sprint(edges), func(t *testing.T) {
			got, inverted := found(t, servoBus, edges, 1_000_000)
			assert.Empty(t, got)
			assert.False(t, inverted)
		})
	}
	_, inverted := found(t, servoBus, []edge.Edge{{Tick: 0, Level: edge.Low}}, 1_000_000)
	assert.True(t, inverted, "it only rested low")

	const l, x = edge.Low, edge.Unknown
	edges, end := line(x, 300, l, 50, x, 300, l, 50, x, 300, l, 50, x, 300, l, 300)
	_, inverted = found(t, servoBus, edges, end)
	assert.True(t, inverted, "an unknown level is no rest")
}

// No power, then a plain line of zeros with short pauses, cut off in a character.
// Read the other way round it has as many good stop bits, three; but the line going
// up is a break there.
func TestPolarityByBadStopBits(t *testing.T) {
	const l, h = edge.Low, edge.High
	edges, end := line(l, 300, h, 150, l, 90, h, 60, l, 90, h, 60, l, 90, h, 60, l, 70)
	got, inverted := found(t, plainly(100_000), edges, end)
	assert.False(t, inverted)
	assert.Len(t, got, 3)
}

package uart_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
)

// centres is the yardstick: it looks at the centre of each bit, as receivers do.
type centres struct {
	inverted, busy bool
	bit, next      int64
	level          edge.Level
	bits           uint32
	n              int
}

func (s *centres) edge(e edge.Edge, take func(byte, bool)) {
	for s.busy && s.next < e.Tick {
		if (s.level == edge.High) != s.inverted {
			s.bits |= 1 << s.n
		}
		s.n++
		s.next += s.bit
		if s.n == 11 {
			parity := uint32(0)
			for i := 1; i <= 9; i++ {
				parity ^= s.bits >> i & 1
			}
			s.busy = false
			take(byte(s.bits>>1), parity != 0 || s.bits>>10&1 == 0)
		}
	}
	if !s.busy && e.Level == edge.High == s.inverted && s.level != e.Level {
		s.busy, s.next, s.bits, s.n = true, e.Tick+s.bit/2, 0, 0
	}
	s.level = e.Level
}

func benchmarked(b *testing.B) []edge.Edge {
	edges, _, _ := frames(b, 2000, rand.New(rand.NewPCG(1, 1)), servoBus)
	return edges
}

// The yardstick reads what we read: only then is its speed worth comparing with.
func TestYardstick(t *testing.T) {
	edges, _, end := frames(t, 20, rand.New(rand.NewPCG(1, 1)), servoBus)
	type char struct {
		b   byte
		bad bool
	}
	var want, got []char
	for _, c := range decoded(t, edge.Nanosecond, servoBus, edges, end) {
		want = append(want, char{c.Byte, c.Bad()})
	}
	s := &centres{inverted: true, bit: 10_000}
	for _, e := range append(edges, edge.Edge{Tick: end, Level: edge.Low}) {
		s.edge(e, func(b byte, bad bool) { got = append(got, char{b, bad}) })
	}
	require.Len(t, want, 20*servobus.FrameLen)
	require.Equal(t, want, got)
}

// BenchmarkEdges: edges to characters, turned over at each edge, and sampled at bit
// centres; one call an edge for both.
func BenchmarkEdges(b *testing.B) {
	edges := benchmarked(b)
	good := 0
	b.Run("ours", func(b *testing.B) {
		take := func(c *uart.Char) {
			if !c.Bad() {
				good++
			}
		}
		b.ReportAllocs()
		for b.Loop() {
			d, err := uart.NewDecoder(edge.Nanosecond, servoBus)
			require.NoError(b, err)
			for _, e := range edges {
				d.Edge(e, take)
			}
		}
		b.ReportMetric(float64(len(edges))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Medges/s")
	})
	b.Run("yardstick", func(b *testing.B) {
		take := func(_ byte, bad bool) {
			if !bad {
				good++
			}
		}
		for b.Loop() {
			s := &centres{inverted: true, bit: 10_000}
			for _, e := range edges {
				s.edge(e, take)
			}
		}
		b.ReportMetric(float64(len(edges))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Medges/s")
	})
}

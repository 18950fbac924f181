package uart_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// FuzzEdges: any edges give characters in order that lie apart, each as long as its
// format says, and what is sent again comes out the same.
func FuzzEdges(f *testing.F) {
	f.Add([]byte{1, 50, 0, 10, 1, 10, 0, 10}, uint8(0))
	f.Add([]byte{0, 200, 1, 255, 0, 3, 2, 9, 1, 100}, uint8(0x2B))
	f.Add([]byte{1, 0, 0, 0, 1, 0}, uint8(0xFF))
	f.Fuzz(func(t *testing.T, raw []byte, how uint8) {
		format := uart.Format{Baud: 100_000, Data: 5 + int(how&3), Parity: uart.Parity(how>>2&3) % 3, Stop: 1 + int(how>>4&1), Inverted: how&0x20 != 0}
		d, err := uart.NewDecoder(edge.Nanosecond, format)
		require.NoError(t, err)
		var list []uart.Char
		take := func(c *uart.Char) { list = append(list, *c) }
		at := int64(0)
		for i := 0; i+1 < len(raw); i += 2 {
			d.Edge(edge.Edge{Tick: at, Level: edge.Level(raw[i] % 3)}, take)
			at += int64(raw[i+1]) * 1000
		}
		d.Until(at, take)
		e, err := uart.NewEncoder(edge.Nanosecond, format, 0)
		require.NoError(t, err)
		edges := []edge.Edge{e.Begin()}
		last := int64(-1)
		for _, c := range list {
			require.GreaterOrEqual(t, c.Start, last, "characters lie apart")
			last = c.At - 5_000 // a start may come half a bit early
			require.LessOrEqual(t, c.Byte, byte(1<<format.Data-1))
			edges = e.Send(edges, c.Byte)
		}
		again := decoded(t, edge.Nanosecond, format, edges, e.Now()+1_000_000)
		require.Len(t, again, len(list))
		for i := range again {
			require.Equal(t, list[i].Byte, again[i].Byte)
			require.False(t, again[i].Bad())
		}
	})
}

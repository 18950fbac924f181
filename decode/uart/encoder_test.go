package uart_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// Edges by hand. 0x0F inverted 8E2: the start bit and the four zeros high, an even
// number of ones leaves the parity bit 0, thus high, and two stop bits low.
func TestEncoderByHand(t *testing.T) {
	for _, c := range []struct {
		name   string
		format uart.Format
		text   []byte
		want   []int64 // µs from the start edge on, active first
		now    int64   // µs
	}{
		{"inverted 8E2, a header and another", servoBus, []byte{0x0F, 0x01},
			[]int64{0, 10, 50, 100, 120, 130, 140, 210}, 240},
		{"plain 8N1, ten bits", plainly(100_000), []byte{0xF0, 0xFF}, []int64{0, 50, 100, 110}, 200},
		{"7O1: a one as parity where there is none", uart.Format{Baud: 100_000, Data: 7, Parity: uart.Odd, Stop: 1}, []byte{0x80}, []int64{0, 80}, 100},
		{"5N2: seven bits and one more", uart.Format{Baud: 100_000, Data: 5, Stop: 2}, []byte{0xE1}, []int64{0, 10, 20, 60}, 80},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := uart.NewEncoder(edge.Nanosecond, c.format, 0)
			require.NoError(t, err)
			e.Rest(1_000_000)
			var got []edge.Edge
			for _, b := range c.text {
				got = e.Send(got, b)
			}
			level := edge.High
			if c.format.Inverted {
				level = edge.Low
			}
			var want []edge.Edge
			for _, at := range c.want {
				level = level.Not()
				want = append(want, edge.Edge{Tick: 1_000_000 + at*1000, Level: level})
			}
			assert.Equal(t, want, got)
			assert.Equal(t, 1_000_000+c.now*1000, e.Now())
		})
	}
}

func TestEncoderBreak(t *testing.T) {
	e, err := uart.NewEncoder(edge.Nanosecond, servoBus, 500)
	require.NoError(t, err)
	assert.Equal(t, edge.Edge{Tick: 500, Level: edge.Low}, e.Begin())
	edges := e.Break([]edge.Edge{e.Begin()}, 30)
	edges = e.Send(edges, 0x55)
	list := decoded(t, edge.Nanosecond, servoBus, edges, e.Now())
	require.Len(t, list, 2)
	assert.Equal(t, uart.Char{Start: 500, At: 110_500, Framing: true, Break: true}, list[0])
	assert.Equal(t, uart.Char{Start: 310_500, At: 420_500, Byte: 0x55}, list[1])
	e.Rest(3)
	assert.Equal(t, int64(430_500), e.Now(), "a tick that is past leaves it as it is")
}

// After a rest the grid begins anew: a second character stands where the rest ends.
func TestEncoderRestsBetweenCharacters(t *testing.T) {
	e, err := uart.NewEncoder(edge.Nanosecond, plainly(100_000), 0)
	require.NoError(t, err)
	e.Send(nil, 0xFF)
	e.Rest(1_000_000)
	assert.Equal(t, int64(1_000_000), e.Now())
	assert.Equal(t, []edge.Edge{{Tick: 1_000_000, Level: edge.Low}, {Tick: 1_010_000, Level: edge.High}}, e.Send(nil, 0xFF))
	assert.Equal(t, int64(1_100_000), e.Now())
}

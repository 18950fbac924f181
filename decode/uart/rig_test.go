package uart_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/edge"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
)

// plainly is 8N1 on a line that idles high.
func plainly(baud int64) uart.Format { return uart.Format{Baud: baud, Data: 8, Stop: 1} }

// decoded are the characters of edges, with the line as it is until a tick.
func decoded(t testing.TB, rate edge.Rate, f uart.Format, edges []edge.Edge, until int64) (list []uart.Char) {
	d, err := uart.NewDecoder(rate, f)
	require.NoError(t, err)
	take := func(c *uart.Char) { list = append(list, *c) }
	for _, e := range edges {
		d.Edge(e, take)
	}
	d.Until(until, take)
	return list
}

// sent is a line on which bytes are sent back to back, by a clock that is off by
// parts per million, each edge jittering to either side by so many ticks.
func sent(t testing.TB, rate edge.Rate, f uart.Format, text []byte, ppm, jitter int64, rng *rand.Rand) (edges []edge.Edge, end int64) {
	e, err := uart.NewEncoder(rate, f, 0)
	require.NoError(t, err)
	edges = append(edges, e.Begin())
	e.Rest(rate.Ticks(1_000_000))
	for _, b := range text {
		edges = e.Send(edges, b)
	}
	for i := range edges[1:] {
		at := &edges[i+1].Tick
		*at += *at * ppm / 1_000_000
		if jitter > 0 {
			*at += rng.Int64N(2*jitter+1) - jitter
		}
	}
	return edges, (e.Now() + rate.Ticks(1_000_000)) * 11 / 10
}

func anyBytes(rng *rand.Rand, n int) []byte {
	text := make([]byte, n)
	for i := range text {
		text[i] = byte(rng.Uint32())
	}
	return text
}

// servoBus is how a servo bus is sent.
var servoBus = servobus.Protocol().Line

// frames are the edges of random frames of a servo bus, one each 7 ms.
func frames(t testing.TB, n int, rng *rand.Rand, f uart.Format) (edges []edge.Edge, sent []bus.Frame, end int64) {
	e, err := uart.NewEncoder(edge.Nanosecond, f, 0)
	require.NoError(t, err)
	edges = append(edges, e.Begin())
	for i := range n {
		e.Rest(int64(i+1) * 7_000_000)
		var frame bus.Frame
		for c := range servobus.Channels {
			frame.Counts[c] = uint32(rng.IntN(2048))
		}
		var raw [servobus.FrameLen]byte
		servobus.Encode(&frame, raw[:])
		for _, b := range raw {
			edges = e.Send(edges, b)
		}
		sent = append(sent, frame)
	}
	return edges, sent, int64(n+1) * 7_000_000
}

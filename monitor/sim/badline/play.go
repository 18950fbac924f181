package badline

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/sim/world"
)

// piece is how much of a line is made at once, ns. Each is by another seed.
const piece = 60_000 * ms

// Listener says how the listener has set the port, false where nobody knows.
type Listener func() (uart.Format, bool)

// Play plays the line to a port until ctx is done, and returns its error, or why the port
// can't be played to.
func (f *Fault) Play(ctx context.Context, seed uint64, port world.Sink, listener Listener, clock world.Clock) error {
	start := clock.Now()
	for n := uint64(0); ; n++ {
		line, err := f.line(rand.New(rand.NewPCG(seed, n)), piece)
		if err != nil {
			return fmt.Errorf("play a line: %w", err)
		}
		in := input{edges: line.Edges}
		for at := f.hands; at <= piece; at += f.hands {
			if err := clock.WaitUntil(ctx, start.Add(time.Duration(at))); err != nil {
				return err
			}
			if err := in.set(listener); err != nil {
				return err
			}
			if err := in.handOver(at, port); err != nil {
				return err
			}
		}
		start = start.Add(time.Duration(piece))
	}
}

// input is a serial input on the line. A character with an error is a 0x00 to its listener,
// as a driver has it that marks none.
type input struct {
	edges   []edge.Edge // to come
	format  uart.Format
	decoder *uart.Decoder
	data    []byte
}

// set sets it as the listener has it. What cannot be a serial input's is left as it was.
func (in *input) set(listener Listener) error {
	f, ok := listener()
	if !ok {
		f = wanted()
	}
	if in.decoder != nil && (f == in.format || f.Check(edge.Nanosecond) != nil) {
		return nil
	}
	d, err := uart.NewDecoder(edge.Nanosecond, f)
	if err != nil {
		return fmt.Errorf("play a line: %w", err)
	}
	in.decoder, in.format = d, f
	return nil
}

// handOver delivers what came up to a date, ns.
func (in *input) handOver(at int64, port world.Sink) error {
	n := 0
	for ; n < len(in.edges) && in.edges[n].Tick <= at; n++ {
		in.decoder.Edge(in.edges[n], in.take)
	}
	in.edges = in.edges[n:]
	in.decoder.Until(at, in.take)
	if len(in.data) == 0 {
		return nil
	}
	d := world.Delivery{At: at, Kind: world.Data, Data: in.data}
	in.data = nil
	return port.Deliver(d)
}

func (in *input) take(c *uart.Char) {
	b := c.Byte
	if c.Bad() {
		b = 0
	}
	in.data = append(in.data, b)
}

package port

import (
	"context"
	"math"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// counting is a line of which only the counters matter.
type counting struct {
	stream
	readings []Counters
}

func (c *counting) counters() (Counters, bool) {
	if len(c.readings) == 0 {
		return Counters{}, false
	}
	now := c.readings[0]
	c.readings = c.readings[1:]
	return now, true
}

// What the driver counted before is not ours; what it loses while we listen is an
// input at the second it is seen; it may go round at 32 bits, and begin anew with
// another opening.
func TestLostCharactersAreInputs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		seq := NewSequencer(func() int64 { return int64(time.Since(start)) }, 0, 0)
		p := &Port{Tap: 1, Seq: seq}
		_, ok := p.Counters()
		assert.False(t, ok)
		p.count(t.Context(), &counting{readings: []Counters{
			{Received: 1000, Overruns: math.MaxUint32 - 1, Parity: 7},
			{Received: 2000, Overruns: math.MaxUint32 - 1, Parity: 9, Framing: 1, Breaks: 3},
			{Received: 3000, Overruns: 1, Parity: 9, Framing: 1, Breaks: 3, BufferOverruns: 4},
		}})
		p.count(t.Context(), &counting{readings: []Counters{{Received: 5}, {Received: 6}}})
		seq.Close(0)
		b := taken(seq, Judge)
		require.Equal(t, 1, b.Len())
		assert.Equal(t, event.Input{At: unit.Time(2 * unit.Second), Tap: 1, Kind: event.InputOverrun, Data: []byte("7")}, b.Input(0))
		c, ok := p.Counters()
		assert.True(t, ok)
		assert.Equal(t, Counters{Received: 2001, Parity: 2, Framing: 1, Breaks: 3, Overruns: 3, BufferOverruns: 4}, c)
	})
}

func TestCountingEndsWithThePort(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &Port{Tap: 1, Seq: NewSequencer(func() int64 { return 0 }, 0, 0)}
		ctx, stop := context.WithTimeout(t.Context(), 2500*time.Millisecond)
		defer stop()
		l := &counting{readings: make([]Counters, 10)}
		p.count(ctx, l)
		assert.Len(t, l.readings, 7)
	})
}

package badline_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/sim/badline"
	"benchproof.example/monitor/sim/world"
)

// hurried is a clock on which a wait takes no time, until a limit.
type hurried struct {
	now, end time.Time
}

var errOver = errors.New("it is over")

func (h *hurried) Now() time.Time { return h.now }
func (h *hurried) WaitUntil(_ context.Context, t time.Time) error {
	if t.After(h.end) {
		return errOver
	}
	h.now = t
	return nil
}

// played is what a listener makes of a fault in some seconds.
func played(t *testing.T, name string, seed uint64, listener badline.Listener) linefault.Cause {
	const lasts = 3 * time.Second
	p, _ := protocols.Find("")
	fault, ok := badline.Named(name)
	require.True(t, ok)
	begin := time.Unix(1_000_000_000, 0)
	clock := &hurried{now: begin, end: begin.Add(lasts)}
	heard := linefault.NewListener(p, 0)
	err := fault.Play(t.Context(), seed, world.SinkFunc(func(d world.Delivery) error {
		assert.Equal(t, d.At, int64(clock.now.Sub(begin)))
		heard.Feed(d.Data, d.At, d.Bad)
		return nil
	}), listener, clock)
	require.ErrorIs(t, err, errOver)
	found, _ := heard.End(int64(lasts))
	return found.Cause
}

func asSet(f uart.Format) badline.Listener { return func() (uart.Format, bool) { return f, true } }

func unknown() (uart.Format, bool) { return uart.Format{}, false }

// Who listens finds most faults that are played, although errors are not marked.
func TestFaultsAreFound(t *testing.T) {
	want := map[string]linefault.Cause{
		"not-inverted": linefault.Inverted, "parity": linefault.Parity, "rate": linefault.Rate, "telemetry": linefault.Stream,
		"servo-pulses": linefault.Pulses, "no-contact": linefault.Noise, "no-ground": linefault.Mains, "nothing": linefault.Nothing,
		"late": linefault.Clumps,
	}
	require.Len(t, badline.Faults(), len(want))
	for _, f := range badline.Faults() {
		right := 0
		for seed := range uint64(5) {
			if played(t, f.Name, 100+seed, unknown) == want[f.Name] {
				right++
			}
		}
		assert.GreaterOrEqual(t, right, 3, f.Name)
		assert.NotEmpty(t, f.About)
	}
	_, ok := badline.Named("moon")
	assert.False(t, ok)
}

// A port that is set as the line is sent reads a healthy bus; settings that no serial input
// has change nothing.
func TestOtherSettingsReadTheBus(t *testing.T) {
	assert.Equal(t, linefault.Healthy, played(t, "parity", 1, asSet(uart.Format{Baud: 100_000, Data: 8, Parity: uart.Odd, Stop: 2})))
	assert.Equal(t, linefault.Healthy, played(t, "rate", 1, asSet(uart.Format{Baud: 200_000, Data: 8, Parity: uart.Even, Stop: 2})))
	calls := 0
	changed := func() (uart.Format, bool) {
		calls++
		if calls > 1 {
			return uart.Format{Baud: -1}, true
		}
		return uart.Format{Baud: 200_000, Data: 8, Parity: uart.Even, Stop: 1}, true
	}
	assert.Equal(t, linefault.Healthy, played(t, "rate", 1, changed))
}

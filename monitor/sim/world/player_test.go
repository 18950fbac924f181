package world_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/world"
)

// Each delivery comes at its date, counted from the start of the play.
func TestPlayKeepsTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		want := play(named(t, "two"), 1).deliveries
		start := time.Now()
		var got []world.Delivery
		end := world.EndFunc(func(d world.Delivery) error {
			require.EqualValues(t, d.At, time.Since(start))
			got = append(got, d)
			return nil
		})
		sim := world.New(named(t, "two"), 1)
		require.NoError(t, world.Play(t.Context(), sim, []world.End{end, end}, world.RealTime{}))
		assert.Equal(t, want, got)
		assert.GreaterOrEqual(t, time.Since(start), time.Duration(sim.Length()))
	})
}

// A slow end delays what comes while it is busy, and nothing after that.
func TestPlayDoesNotDrift(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start, late, onTime := time.Now(), 0, 0
		end := world.EndFunc(func(d world.Delivery) error {
			if time.Since(start) > time.Duration(d.At) {
				late++
			} else {
				onTime++
			}
			if d.At > 5*second && late == 0 {
				time.Sleep(time.Second) // of the bubble's time
			}
			return nil
		})
		sim := world.New(named(t, "unflagged"), 1)
		require.NoError(t, world.Play(t.Context(), sim, []world.End{end}, world.RealTime{}))
		assert.Greater(t, late, 100)
		assert.Greater(t, onTime, 20*late)
	})
}

func TestPlayEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		ignore := world.EndFunc(func(world.Delivery) error { return nil })
		sim := world.New(named(t, "good"), 1)
		require.ErrorIs(t, world.Play(ctx, sim, []world.End{ignore}, world.RealTime{}), context.DeadlineExceeded)

		broken := errors.New("broken")
		fail := world.EndFunc(func(world.Delivery) error { return broken })
		err := world.Play(t.Context(), world.New(named(t, "good"), 1), []world.End{fail}, world.RealTime{})
		require.ErrorIs(t, err, broken)
		require.ErrorContains(t, err, "tap main")

		err = world.Play(t.Context(), world.New(named(t, "two"), 1), []world.End{ignore}, world.RealTime{})
		require.ErrorContains(t, err, "got 1 ends, want one for each of 2 taps")
	})
}

// What is ordered is done within a few milliseconds, and deliveries still come at
// their dates.
func TestPlayLed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		end := world.EndFunc(func(d world.Delivery) error {
			require.EqualValues(t, d.At, time.Since(start))
			return nil
		})
		sim := world.New(named(t, "good").Bench(), 1)
		sim.KeepTruth = true
		orders, played := make(chan string), make(chan error)
		go func() { played <- world.PlayLed(t.Context(), sim, []world.End{end}, world.RealTime{}, orders) }()
		orders <- "signal on"
		time.Sleep(2 * time.Second) // of the bubble's time
		orders <- "aid third"
		time.Sleep(time.Second)
		orders <- "end"
		require.NoError(t, <-played)
		on := heard{sim: sim}.when("signal", "transmitter", "on")
		require.Len(t, on, 1)
		moved := heard{sim: sim}.when("switch", "aid", "third")
		require.Len(t, moved, 1)
		assert.InDelta(t, 2*second, moved[0], 200e6)
	})
}

func TestPlayLedEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ignore := world.EndFunc(func(world.Delivery) error { return nil })
		led := func(ctx context.Context, ends []world.End, orders ...string) error {
			queue := make(chan string, len(orders))
			for _, o := range orders {
				queue <- o
			}
			return world.PlayLed(ctx, world.New(named(t, "good").Bench(), 1), ends, world.RealTime{}, queue)
		}
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		require.ErrorIs(t, led(ctx, []world.End{ignore}), context.DeadlineExceeded)
		require.ErrorContains(t, led(t.Context(), []world.End{ignore}, "fly away"), "fly")
		require.ErrorContains(t, led(t.Context(), nil), "got 0 ends, want one for each of 1 taps")
	})
}

package world_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// Each delivery comes at its date, counted from the start of the play.
func TestPlayKeepsTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		want := simtest.Play(simtest.Named(t, "two"), 1).Deliveries
		start := time.Now()
		var got []world.Delivery
		end := world.SinkFunc(func(d world.Delivery) error {
			require.EqualValues(t, d.At, time.Since(start))
			got = append(got, d)
			return nil
		})
		sim := world.New(&simtest.Named(t, "two").Plan, 1)
		require.NoError(t, world.Play(t.Context(), sim, []world.Sink{end, end}, world.RealTime{}))
		assert.Equal(t, want, got)
		assert.GreaterOrEqual(t, time.Since(start), time.Duration(sim.Length()))
	})
}

// A slow end delays what comes while it is busy, and nothing after that.
func TestPlayDoesNotDrift(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start, late, onTime := time.Now(), 0, 0
		end := world.SinkFunc(func(d world.Delivery) error {
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
		sim := world.New(&simtest.Named(t, "unflagged").Plan, 1)
		require.NoError(t, world.Play(t.Context(), sim, []world.Sink{end}, world.RealTime{}))
		assert.Greater(t, late, 100)
		assert.Greater(t, onTime, 20*late)
	})
}

func TestPlayEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		ignore := world.SinkFunc(func(world.Delivery) error { return nil })
		sim := world.New(&simtest.Named(t, "good").Plan, 1)
		require.ErrorIs(t, world.Play(ctx, sim, []world.Sink{ignore}, world.RealTime{}), context.DeadlineExceeded)

		broken := errors.New("broken")
		fail := world.SinkFunc(func(world.Delivery) error { return broken })
		err := world.Play(t.Context(), world.New(&simtest.Named(t, "good").Plan, 1), []world.Sink{fail}, world.RealTime{})
		require.ErrorIs(t, err, broken)
		require.ErrorContains(t, err, "tap main")

		err = world.Play(t.Context(), world.New(&simtest.Named(t, "two").Plan, 1), []world.Sink{ignore}, world.RealTime{})
		require.ErrorContains(t, err, "got 1 ends, want one for each of 2 taps")
	})
}

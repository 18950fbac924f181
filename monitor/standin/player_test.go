package standin_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/standin"
)

// Each delivery comes at its date, counted from the start of the play.
func TestPlayKeepsTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		want := play(named(t, "two"), 1).deliveries
		start := time.Now()
		var got []standin.Delivery
		end := standin.EndFunc(func(d standin.Delivery) error {
			require.EqualValues(t, d.At, time.Since(start))
			got = append(got, d)
			return nil
		})
		sim := standin.New(named(t, "two"), 1)
		require.NoError(t, standin.Play(t.Context(), sim, []standin.End{end, end}, standin.RealTime{}))
		assert.Equal(t, want, got)
		assert.GreaterOrEqual(t, time.Since(start), time.Duration(sim.Length()))
	})
}

// A slow end delays what comes while it is busy, and nothing after that.
func TestPlayDoesNotDrift(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start, late, onTime := time.Now(), 0, 0
		end := standin.EndFunc(func(d standin.Delivery) error {
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
		sim := standin.New(named(t, "unflagged"), 1)
		require.NoError(t, standin.Play(t.Context(), sim, []standin.End{end}, standin.RealTime{}))
		assert.Greater(t, late, 100)
		assert.Greater(t, onTime, 20*late)
	})
}

func TestPlayEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		ignore := standin.EndFunc(func(standin.Delivery) error { return nil })
		sim := standin.New(named(t, "good"), 1)
		require.ErrorIs(t, standin.Play(ctx, sim, []standin.End{ignore}, standin.RealTime{}), context.DeadlineExceeded)

		broken := errors.New("broken")
		fail := standin.EndFunc(func(standin.Delivery) error { return broken })
		err := standin.Play(t.Context(), standin.New(named(t, "good"), 1), []standin.End{fail}, standin.RealTime{})
		require.ErrorIs(t, err, broken)
		require.ErrorContains(t, err, "tap main")

		err = standin.Play(t.Context(), standin.New(named(t, "two"), 1), []standin.End{ignore}, standin.RealTime{})
		require.ErrorContains(t, err, "got 1 ends, want one for each of 2 taps")
	})
}

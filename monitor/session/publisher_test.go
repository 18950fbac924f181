package session_test

import (
	"context"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// look runs a session with a script for a while and looks at it at some moments.
func look(t *testing.T, s *sitting, script string, at ...time.Duration) (seen []state.State) {
	live, err := s.open()
	require.NoError(t, err)
	seen = append(seen, live.State())
	ctx, stop := context.WithTimeout(t.Context(), at[len(at)-1]+time.Second)
	defer stop()
	looks := func(context.Context) {
		from := time.Now()
		for _, d := range at {
			time.Sleep(d - time.Since(from))
			seen = append(seen, live.State())
		}
	}
	require.NoError(t, live.Run(ctx, play(live.Seq, named(t, script), 1), looks))
	return seen
}

func TestASessionCanBeLookedAt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newSitting(filepath.Join(t.TempDir(), "s"), "main")
		seen := look(t, s, "silent", 5*time.Second, 60*time.Second)
		blank, live := seen[0], seen[1].Taps[0]

		require.Len(t, blank.Taps, 1, "there before the first byte")
		assert.False(t, blank.Taps[0].Up)
		assert.Equal(t, unit.Time(-1), blank.Taps[0].LastNS)
		assert.NotEmpty(t, blank.Claims)
		assert.True(t, blank.Recorder.Recording)

		assert.True(t, live.Up)
		assert.True(t, live.Locked)
		assert.Equal(t, event.SignalLive, live.Signal)
		assert.True(t, live.ModeKnown)
		assert.Equal(t, "damping", live.Mode)
		require.Len(t, live.Channels, 16)
		assert.Equal(t, state.Channel{Number: 1, Name: "elevator", Count: 992, WidthNS: 1_500_312}, live.Channels[0])
		assert.Equal(t, live.Bytes, 25*live.Frames)
		assert.InDelta(t, 7e6, float64(live.PeriodNS), 1e4)
		var intervals int64
		for _, n := range live.Periods.Counts {
			intervals += n
		}
		assert.Equal(t, live.Frames-1, intervals)
		assert.Less(t, seen[1].NowNS.Sub(seen[1].SeenNS), 2*unit.Second)
		assert.Equal(t, int64(1), seen[1].Runs)
		assert.Positive(t, seen[1].Recorder.Inputs)
	})
}

// What a silent bus last said is not shown as if it were live.
func TestASilentBusHasNoChannels(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newSitting(filepath.Join(t.TempDir(), "s"), "main")
		var at []time.Duration
		for i := range 40 {
			at = append(at, time.Duration(i+1)*time.Second)
		}
		silent := 0
		for _, seen := range look(t, s, "silent", at...)[1:] {
			tap := seen.Taps[0]
			if seen.NowNS.Sub(tap.LastNS) > 2*unit.Second {
				silent++
				assert.False(t, tap.Locked)
				assert.False(t, tap.ModeKnown)
				assert.Empty(t, tap.Channels)
				assert.Positive(t, tap.LastNS)
			}
		}
		assert.Positive(t, silent)
	})
}

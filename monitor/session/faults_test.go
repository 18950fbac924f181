package session_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

// faulty hears a line in which judgement fails with each beat.
func (s *sitting) faulty(t *testing.T, d time.Duration) {
	live, err := s.open()
	require.NoError(t, err)
	live.Subscribe(session.Subscriber{Judged: func() {
		live.Fault(&engine.InternalFault{At: unit.Time(unit.Second), Event: 7, FaultData: event.FaultData{Input: "beat",
			Fault: "out of range"}, Stack: []byte("watch.go:17\n")})
	}})
	ctx, stop := timeout(t, d)
	defer stop()
	require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1)))
}

// Where judgement failed lies beside the timeline, which knows nothing of it; so
// many of each run and no more, and never more than the file may hold.
func TestFaultsAreKeptBesideTheTimeline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		log := session.Folder(folder).Path(session.FaultsFile)
		kept := func() int {
			text, err := os.ReadFile(log)
			require.NoError(t, err)
			return bytes.Count(text, []byte("test: judgement failed at 1000000000 ns (event 7), at an input of kind beat: out of range\nwatch.go:17\n"))
		}
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 3*time.Second))
		assert.NoFileExists(t, log, "no fault")
		s = newSitting(folder, "main")
		s.faulty(t, 5500*time.Millisecond)
		assert.Equal(t, 5, kept())
		assert.Len(t, s.said, 5)
		assert.Contains(t, s.said[0], "a fault of benchproof's (out of range); where is in "+log)
		s = newSitting(folder, "main")
		s.faulty(t, 25*time.Second)
		assert.Equal(t, 5+16, kept(), "appended")
		assert.Len(t, s.said, 16)
		assert.NotContains(t, s.said[14], "no more")
		assert.Contains(t, s.said[15], "no more of this run are kept")
		requireSameEverywhere(t, folder)

		full := strings.Repeat("x", 1<<20-10)
		require.NoError(t, os.WriteFile(log, []byte(full), 0o600))
		s = newSitting(folder, "main")
		s.faulty(t, 2500*time.Millisecond)
		text, err := os.ReadFile(log)
		require.NoError(t, err)
		assert.Equal(t, full, string(text))
		require.Len(t, s.said, 2)
		assert.Contains(t, s.said[0], "could not be kept: "+log+" is full")
	})
}

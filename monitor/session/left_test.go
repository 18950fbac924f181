package session_test

import (
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// A session that ends while judgement is behind says so, and what is not judged yet is
// judged when it is opened again: nothing is lacking then.
func TestWhatJudgementIsBehindWithIsJudgedLater(t *testing.T) {
	for name, c := range map[string]struct {
		leaves time.Duration // after the session was opened again
		forgot bool          // without a checkpoint
	}{
		"in the past":       {0, true},
		"in the past again": {0, false},
		"in the present":    {5 * time.Second, false},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				s := newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 1, 30*time.Second))
				if c.forgot {
					require.NoError(t, os.Remove(filepath.Join(folder, session.CheckpointsFile)))
				}
				time.Sleep(time.Second)
				s = newSitting(folder, "main")
				live, err := s.open()
				require.NoError(t, err)
				if c.leaves == 0 {
					live.LeaveJudgement()
				}
				ctx, stop := timeout(t, 20*time.Second)
				defer stop()
				require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 2), at(c.leaves, live.LeaveJudgement)))
				assert.Contains(t, s.notices(), "what is recorded and not judged yet is judged when this session is opened again")

				time.Sleep(time.Second)
				s = newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 3, 20*time.Second))
				assert.Equal(t, "[]", s.notices())
				events, _ := requireSameEverywhere(t, folder)
				assert.Greater(t, events, 30)
			})
		})
	}
}

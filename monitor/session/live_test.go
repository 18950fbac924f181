package session_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// listen hears the script for a while, in simulated time.
func (s *sitting) listen(t testing.TB, script string, seed uint64, d time.Duration) error {
	live, err := s.open()
	require.NoError(t, err)
	ctx, stop := context.WithTimeout(t.Context(), d)
	defer stop()
	return live.Run(ctx, play(live.Seq, named(t, script), seed))
}

func TestJournalAndReplaysAgree(t *testing.T) {
	for _, script := range []string{"good", "clumped", "two", "unflagged", "silent", "hold"} {
		t.Run(script, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				s := newSitting(folder, named(t, script).TapNames()...)
				require.NoError(t, s.listen(t, script, 3, 62*time.Second))
				events, checkpoints := requireSameEverywhere(t, folder)
				assert.Greater(t, events, 8)
				assert.GreaterOrEqual(t, checkpoints, 29)
				assert.Equal(t, "session.began", s.kinds()[0])
				assert.Len(t, s.kinds(), events, "what is shown is what is journalled")
				assert.Equal(t, "[]", s.notices())
			})
		})
	}
}

func TestASessionGoesOnWhereItWas(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		for i := range uint64(4) {
			s := newSitting(folder, "main")
			require.NoError(t, s.listen(t, "good", i, 7*time.Second))
			time.Sleep(3 * time.Second)
		}
		events, _ := requireSameEverywhere(t, folder)
		assert.Greater(t, events, 12)
	})
}

func TestASessionRefusesAnotherSheetAndASecondDaemon(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "s")
	s := newSitting(folder, "main")
	live, err := s.open()
	require.NoError(t, err)
	_, err = s.open()
	require.ErrorIs(t, err, session.ErrBusy)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	require.NoError(t, live.Run(ctx))

	s.opt.SheetText = append([]byte("# another\n"), s.opt.SheetText...)
	_, err = s.open()
	require.ErrorIs(t, err, session.ErrOtherSheet)
}

func TestATornJournalAndRecordingAreMended(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 16*time.Second))
		// As a power cut leaves them: the journal never has more than its causes.
		for name, cut := range map[string]int64{"recording.pcapng": 37, "timeline.jsonl": 2037, "checkpoints.jsonl": 37} {
			path := filepath.Join(folder, name)
			info, err := os.Stat(path)
			require.NoError(t, err)
			require.NoError(t, os.Truncate(path, info.Size()-cut))
		}
		s = newSitting(folder, "main")
		live, err := s.open()
		require.NoError(t, err)
		assert.Len(t, live.Notices, 2, "%v", live.Notices)
		ctx, stop := context.WithTimeout(t.Context(), 5*time.Second)
		defer stop()
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 2)))
		requireSameEverywhere(t, folder)
	})
}

// A journal that lost lines, as after a power cut, gets them back from the
// recording.
func TestWhatTheJournalLacksIsAppended(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 23*time.Second))
		before, err := os.ReadFile(session.Folder(folder).Path(session.TimelineFile))
		require.NoError(t, err)
		cut := len(before) / 3
		require.NoError(t, os.Truncate(session.Folder(folder).Path(session.TimelineFile), int64(cut)))
		require.NoError(t, os.Truncate(session.Folder(folder).Path(session.CheckpointsFile), 0))
		s = newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 2, 5*time.Second))
		after, err := os.ReadFile(session.Folder(folder).Path(session.TimelineFile))
		require.NoError(t, err)
		assert.Equal(t, string(before), string(after[:len(before)]))
		requireSameEverywhere(t, folder)
	})
}

// A power cut may leave a sheet of no bytes in a folder in which nothing is recorded yet.
func TestASheetOfNoBytesDoesNotWedgeTheFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "s")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	path := session.Folder(folder).Path(session.SheetFile)
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	synctest.Test(t, func(t *testing.T) {
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 2*time.Second))
		requireSameEverywhere(t, folder)
	})
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	_, err := newSitting(folder, "main").open()
	require.ErrorIs(t, err, session.ErrOtherSheet, "where something is recorded, it is another sheet")
}

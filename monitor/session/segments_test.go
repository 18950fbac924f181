package session_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

// inSegments is a sitting whose recording is in segments of so many seconds.
func inSegments(folder string, seconds unit.Duration, taps ...string) *sitting {
	s := newSitting(folder, taps...)
	s.opt.Segment = seconds * unit.Second
	return s
}

// A recording in segments, packed while it goes on and resumed in between, is judged as
// one: journal and replays agree, from the start and from every checkpoint.
func TestARecordingInSegmentsIsOne(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		for i, seconds := range []unit.Duration{5, 7, 100, 3} {
			s := inSegments(folder, seconds, named(t, "two").TapNames()...)
			require.NoError(t, s.listen(t, "two", uint64(i), 40*time.Second))
			require.Equal(t, "[]", s.notices())
			time.Sleep(2 * time.Second)
		}
		list, err := recording.Segments(filestest.Folder(t, folder))
		require.NoError(t, err)
		packed := 0
		for i, s := range list {
			require.Equal(t, i == len(list)-1, s.Number == 0, "numbers have no hole: %v", list)
			if s.Packed {
				packed++
			}
		}
		assert.Greater(t, len(list), 15)
		assert.Greater(t, packed, 5)
		events, checkpoints := requireSameEverywhere(t, folder)
		assert.Greater(t, events, 30)
		assert.Greater(t, checkpoints, 50)
	})
}

// Each packed segment has the checkpoint with which it begins: no later than the second
// beat in it.
func TestEachSegmentBeginsWithACheckpoint(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := inSegments(folder, 10, "main")
		s.opt.Every, s.opt.Kept = 1000, 0
		require.NoError(t, s.listen(t, "good", 1, 100*time.Second))
		in := filestest.Folder(t, folder)
		list, err := recording.Segments(in)
		require.NoError(t, err)
		found := 0
		for _, seg := range list {
			if !seg.Packed || seg.Number == 1 {
				continue
			}
			r, err := recording.OpenSegment(in, seg)
			require.NoError(t, err)
			c, n := firstCheckpoint(t, r)
			require.NoError(t, r.Close())
			assert.Less(t, n, 700, "inputs before it")
			replay, err := session.OpenReplayAt(session.Folder(folder), &c, readStarter(t), func(*event.Event, int64) {})
			require.NoError(t, err)
			replay.Close()
			found++
		}
		assert.Greater(t, found, 4)
		lines := linesOf(t, session.Folder(folder).Path(session.CheckpointsFile))
		assert.LessOrEqual(t, len(lines), 16, "they don't pile up")
	})
}

// A segment that is taken away while nobody listens is told at the next opening and in
// each replay, and the session goes on.
func TestASegmentThatIsGoneIsTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := inSegments(folder, 10, "main")
		require.NoError(t, s.listen(t, "good", 1, 60*time.Second))
		gone, err := filepath.Glob(filepath.Join(folder, "recording-000002.*"))
		require.NoError(t, err)
		require.Len(t, gone, 1)
		require.NoError(t, os.Remove(gone[0]))
		r, err := session.OpenReplay(session.Folder(folder), readStarter(t), func(*event.Event, int64) {})
		require.NoError(t, err)
		drainReplay(t, r)
		assert.Contains(t, strings.Join(r.Close(), "\n"), "recording-000003.pcapng")
	})
}

package session_test

import (
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
)

// What somebody does to the files of a session that is being heard.
var displacements = map[string]struct {
	do, undo func(folder string) error // undo: nil where nothing brings them back
	says     string
}{
	"the folder is moved": {
		do:   func(f string) error { return os.Rename(f, f+".moved") },
		undo: func(f string) error { return os.Rename(f+".moved", f) },
		says: "recording.pcapng, or its folder, was moved, deleted or replaced",
	},
	"the folder is deleted": {do: os.RemoveAll, says: "recording.pcapng, or its folder,"},
	"the folder is replaced": {do: func(f string) error {
		if err := os.Rename(f, f+".moved"); err != nil {
			return err
		}
		return os.CopyFS(f, os.DirFS(f+".moved"))
	}, says: "recording.pcapng, or its folder,"},
	"the recording is moved": {
		do:   func(f string) error { return os.Rename(f+"/recording.pcapng", f+"/other") },
		undo: func(f string) error { return os.Rename(f+"/other", f+"/recording.pcapng") },
		says: "recording.pcapng, or its folder,",
	},
	"the timeline is replaced": {do: func(f string) error {
		if err := os.WriteFile(f+"/new", nil, 0o600); err != nil {
			return err
		}
		return os.Rename(f+"/new", f+"/timeline.jsonl")
	}, says: "timeline.jsonl, or its folder,"},
}

// Files that are moved, deleted or replaced under a session are loud within two seconds:
// what is written to them then nobody would find. Watching goes on; once they are in
// their places again, so does recording.
func TestFilesThatAreTakenAwayAreLoud(t *testing.T) {
	for name, c := range displacements {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				s := newSitting(folder, "main")
				live, err := s.open()
				require.NoError(t, err)
				ctx, stop := timeout(t, 40*time.Second)
				defer stop()
				var during, after state.State
				err = live.Run(ctx, play(live.Seq, named(t, "good"), 1),
					at(12500*time.Millisecond, func() { assert.NoError(t, c.do(folder)) }),
					at(14500*time.Millisecond, func() { during = live.State() }),
					at(25*time.Second, func() {
						if c.undo != nil {
							assert.NoError(t, c.undo(folder))
						}
					}),
					at(28*time.Second, func() { after = live.State() }))
				assert.False(t, during.Recorder.Recording)
				assert.Contains(t, during.Recorder.Trouble, "recording has stopped, watching goes on: "+folder)
				assert.Contains(t, s.notices(), "was moved, deleted or replaced while it was written to")
				began := s.shown[s.indexOf(t, event.RecordingGap, 1)].Event
				assert.InDelta(t, 13.5, float64(began.At)/1e9, 1)
				assert.Contains(t, began.Data.(event.RecordingGapData).Why, c.says)
				assert.Greater(t, s.shown[len(s.shown)-1].Event.At, began.At+10e9, "watching goes on")
				if c.undo == nil {
					require.ErrorContains(t, err, "the end of this session is not in its folder")
					assert.False(t, after.Recorder.Recording)
					return
				}
				require.NoError(t, err)
				assert.True(t, after.Recorder.Recording)
				assert.Empty(t, after.Recorder.Trouble)
				ended := s.shown[s.indexOf(t, event.RecordingGap, 2)].Event
				assert.InDelta(t, 26, float64(ended.At)/1e9, 1.1)
				assert.Equal(t, "the session's files are in their places again", ended.Data.(event.RecordingGapData).Why)
				requireSameOutsideTheGap(t, folder, began, ended)
			})
		})
	}
}

// What is taken away in the last second is said at the end.
func TestAFolderThatIsGoneAtTheEndIsSaid(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := timeout(t, 5500*time.Millisecond)
		defer stop()
		err = live.Run(ctx, play(live.Seq, named(t, "good"), 1), at(5400*time.Millisecond, func() { assert.NoError(t, os.RemoveAll(folder)) }))
		require.ErrorContains(t, err, "the end of this session is not in its folder: "+session.RecordingFile)
	})
}

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

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/session"
)

// A session of an earlier build goes on under this one.
func TestAnOldSessionGoesOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		require.NoError(t, os.CopyFS(folder, os.DirFS("../../testdata/oldsession")))
		f := session.Folder(folder)
		// As such a build left it, had it run for longer.
		require.NoError(t, os.WriteFile(f.Checkpoints(), crclog.Append(nil, []byte(oldCheckpoint)), 0o600))
		recorded := replayed(t, folder, 0, nil)
		journal := linesOf(t, f.Timeline())
		s := newSitting(folder, "main")
		var err error
		s.opt.SheetText, err = os.ReadFile(f.Sheet())
		require.NoError(t, err)
		for i := range uint64(2) {
			require.NoError(t, s.listen(t, "good", i, 5*time.Second))
		}
		after := linesOf(t, f.Timeline())
		require.Equal(t, journal, after[:len(journal)])
		require.Contains(t, after[len(journal)], "session.resumed")
		requireOrder(t, after)
		replay := splitLines(replayed(t, folder, 0, nil))
		own := after[len(journal):]
		require.Equal(t, own, replay[len(replay)-len(own):])
		again := f.JudgedAgain(s.opt.Judge())
		if recorded == strings.Join(journal, "") {
			assert.NoFileExists(t, again)
			assert.Empty(t, s.said)
			return
		}
		assert.Len(t, s.said, 1)
		assert.Equal(t, recorded, strings.Join(linesOf(t, again), ""))
	})
}

// oldCheckpoint is of the form of builds that neither said whose it was nor who judged.
const oldCheckpoint = `{"input":7,"at_ns":5,"seq":3,"position":{"offset":0,"section":0,"base_ns":0,"taps":[],"input":0,"at_ns":0},"bench":{}}`

package session_test

import (
	"fmt"
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
	"benchproof.example/monitor/sim/script"
)

// corpusFolder has sessions of earlier builds, see its README.
const corpusFolder = "../../testdata/corpus"

// Sessions of earlier builds go on under this one, twice; what they have stays. The
// second time this build has a checkpoint of its own.
func TestTheCorpusGoesOn(t *testing.T) {
	folders, err := os.ReadDir(corpusFolder)
	require.NoError(t, err)
	gone := 0
	for _, entry := range folders {
		if !entry.IsDir() {
			continue
		}
		gone++
		t.Run(entry.Name(), func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "s")
			require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join(corpusFolder, entry.Name()))))
			synctest.Test(t, func(t *testing.T) {
				// Months after the last of them was recorded.
				<-time.After(time.Until(time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC)))
				goesOn(t, folder)
				goesOn(t, folder)
			})
		})
	}
	require.GreaterOrEqual(t, gone, 20)
}

// goesOn resumes a session for five seconds.
func goesOn(t *testing.T, folder string) {
	f := session.Folder(folder)
	recorded, journal := kept(t, f.Path(session.RecordingFile), false), kept(t, f.Path(session.TimelineFile), true)
	s := newSitting(folder)
	again := f.Path(session.JudgedAgain(s.opt.Judge()))
	_, err := os.Stat(again)
	known := err == nil
	live := resumes(t, s)
	require.True(t, live.Resumed)
	ctx, stop := timeout(t, 5*time.Second)
	defer stop()
	require.NoError(t, live.Run(ctx, play(live.Seq, idle(t, s.opt.Taps), 1)), "%s %v", s.notices(), live.Notices)

	requirePrefix(t, recorded, f.Path(session.RecordingFile))
	requirePrefix(t, journal, f.Path(session.TimelineFile))
	lines := linesOf(t, f.Path(session.TimelineFile))
	requireOrder(t, lines)
	own := lastResumed(t, lines)
	assert.Greater(t, len(own), 3, "it heard the bus")
	replay := splitLines(replayed(t, folder, 0, nil))
	require.Equal(t, own, replay[len(replay)-len(own):])
	if len(s.said) == 0 {
		if !known {
			assert.NoFileExists(t, again)
		}
		return
	}
	require.Len(t, s.said, 1)
	assert.Contains(t, s.said[0], "the timeline stays as it is")
	assert.FileExists(t, again)
}

// resumes opens the session with the buses of its sheet.
func resumes(t *testing.T, s *sitting) *session.Live {
	sheet, err := s.opt.Folder.ReadSheet()
	require.NoError(t, err)
	s.opt.SheetText, err = os.ReadFile(s.opt.Folder.Path(session.SheetFile))
	require.NoError(t, err)
	for _, tap := range sheet.Taps {
		if tap.Kind == "bus" {
			s.opt.Taps = append(s.opt.Taps, event.TapName{Name: tap.Name, Kind: tap.Kind})
		}
	}
	live, err := s.open()
	require.NoError(t, err)
	return live
}

// idle is a bench on which nothing moves.
func idle(t *testing.T, taps []event.TapName) *script.Script {
	text := "channel 1 one 1500\n"
	for _, tap := range taps {
		text += fmt.Sprintf("receiver %s hold\n", tap.Name)
	}
	scripted, err := script.Parse("idle", []byte(text+"0s signal on\n10s end\n"))
	require.NoError(t, err)
	return scripted
}

// kept is what a file has that nothing may change: all of it, or all but a torn tail.
func kept(t *testing.T, path string, lines bool) string {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	if torn := strings.LastIndexByte(string(text), '\n') + 1; lines {
		return string(text[:torn])
	}
	aside := filestest.New() // a copy, since mending cuts
	aside.Put(recording.OpenName, text)
	_, err = recording.Repair(t.Context(), aside)
	require.NoError(t, err)
	return string(aside.Content(recording.OpenName))
}

func requirePrefix(t *testing.T, was, path string) {
	is, err := os.ReadFile(path)
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(is), was), "%s had %d bytes that it has no longer", path, len(was))
}

// lastResumed are the lines from the last session.resumed on.
func lastResumed(t *testing.T, lines []string) []string {
	for i := len(lines) - 1; i >= 0; i-- {
		if strings.Contains(lines[i], `"kind":"session.resumed"`) {
			return lines[i:]
		}
	}
	t.Fatal("nothing says that the session was resumed")
	return nil
}

package session_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/timeline"
)

func linesOf(t *testing.T, path string) (lines []string) {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return splitLines(string(text))
}

// reseal writes a line of a timeline anew, with a piece of it replaced.
func reseal(t *testing.T, line, was, is string) string {
	object, err := crclog.Check([]byte(strings.TrimSuffix(line, "\n")))
	require.NoError(t, err)
	require.Equal(t, 1, strings.Count(string(object), was), "%s in %s", was, line)
	return string(crclog.Append(nil, []byte(strings.Replace(string(object), was, is, 1))))
}

// numbered numbers lines from 1 on.
func numbered(t *testing.T, lines []string) (out []string) {
	for i, line := range lines {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		require.NoError(t, err)
		out = append(out, reseal(t, line, fmt.Sprintf(`"seq":%d,`, e.Seq), fmt.Sprintf(`"seq":%d,`, i+1)))
	}
	return out
}

// otherwise are journals as other builds may have judged the same recording.
var otherwise = map[string]func(t *testing.T, lines []string) []string{
	"the same": func(_ *testing.T, lines []string) []string { return lines },
	"another sentence": func(t *testing.T, lines []string) []string {
		lines[5] = reseal(t, lines[5], `"kind":"`, `"kind":"other.`)
		return lines
	},
	"one event less":    func(_ *testing.T, lines []string) []string { return slices.Delete(lines, 4, 5) },
	"five events less":  func(_ *testing.T, lines []string) []string { return slices.Delete(lines, 2, 7) },
	"one event more":    func(_ *testing.T, lines []string) []string { return slices.Insert(lines, 4, lines[3]) },
	"five events more":  func(_ *testing.T, lines []string) []string { return slices.Insert(lines, 4, lines[3:8]...) },
	"hardly any event":  func(_ *testing.T, lines []string) []string { return slices.Delete(lines, 1, len(lines)-1) },
	"less, then killed": func(_ *testing.T, lines []string) []string { return slices.Delete(lines, 2, 7)[:6] },
}

// What another build judged stays as it is and goes on with numbers that come
// behind; what this build makes of the same recording lies beside it.
func TestAnotherBuildsJournalStays(t *testing.T) {
	for name, change := range otherwise {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				f := session.Folder(folder)
				s := newSitting(folder, "main")
				s.opt.Judge = func() string { return "of another build" }
				require.NoError(t, s.listen(t, "good", 1, 9*time.Second))
				require.NoError(t, s.listen(t, "good", 2, 9*time.Second))
				ours := linesOf(t, f.Path(session.TimelineFile))
				theirs := numbered(t, change(t, slices.Clone(ours)))
				require.NoError(t, os.WriteFile(f.Path(session.TimelineFile), []byte(strings.Join(theirs, "")), 0o600))
				require.NoError(t, os.Remove(f.Path(session.CheckpointsFile)), "they know another timeline")
				goOn := func(d time.Duration, own []string) (appended []string) {
					before := linesOf(t, f.Path(session.TimelineFile))
					s = newSitting(folder, "main")
					require.NoError(t, s.listen(t, "good", 3, d))
					after := linesOf(t, f.Path(session.TimelineFile))
					require.Equal(t, before, after[:len(before)], "nothing is rewritten")
					appended = append(own, after[len(before):]...)
					require.Contains(t, after[len(before)], "session.resumed", "nothing comes between")
					require.Contains(t, s.kinds(), "bus.locked")
					// From where this build went on, the journal is what a replay gives.
					replay := splitLines(replayed(t, folder, 0, nil))
					require.Equal(t, appended, replay[len(replay)-len(appended):])
					requireOrder(t, after)
					return appended
				}
				again := f.Path(session.JudgedAgain("0123456789abcdef"))
				own := goOn(6*time.Second, nil)
				if name == "the same" {
					assert.Empty(t, s.said)
					assert.NoFileExists(t, again)
					return
				}
				require.Len(t, s.said, 1)
				assert.Contains(t, s.said[0], "the timeline stays as it is; this build's judgement of what was recorded until now is in "+again)
				assert.Equal(t, "timeline-judged-again-01234567.jsonl", filepath.Base(again))
				assert.Equal(t, ours, linesOf(t, again))

				own = goOn(5*time.Second, own) // from a checkpoint of its own
				assert.Empty(t, s.said)
				assert.Equal(t, ours, linesOf(t, again))

				require.NoError(t, os.Remove(f.Path(session.CheckpointsFile)))
				recorded := splitLines(replayed(t, folder, 0, nil))
				goOn(5*time.Second, own)
				assert.Len(t, s.said, 1)
				assert.Equal(t, recorded, linesOf(t, again), "until the session was resumed")

				// Its own part comes back where a power cut tore it.
				require.NoError(t, os.Remove(f.Path(session.CheckpointsFile)))
				whole := linesOf(t, f.Path(session.TimelineFile))
				require.NoError(t, os.WriteFile(f.Path(session.TimelineFile), []byte(strings.Join(whole[:len(whole)-3], "")), 0o600))
				s = newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 4, 5*time.Second))
				require.Equal(t, whole, linesOf(t, f.Path(session.TimelineFile))[:len(whole)])
			})
		})
	}
}

// requireOrder holds a journal to numbers and dates that go on.
func requireOrder(t *testing.T, lines []string) {
	seq := int64(0)
	for _, line := range lines {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		require.NoError(t, err)
		require.Greater(t, e.Seq, seq)
		seq = e.Seq
	}
}

// alter changes the states in a file of checkpoints.
func alter(t *testing.T, path, was, is string) {
	var out []byte
	for _, line := range linesOf(t, path) {
		out = append(out, reseal(t, line, was, is)...)
	}
	require.NoError(t, os.WriteFile(path, out, 0o600))
}

// Only a checkpoint of this session and this judge is used. (What is altered here,
// the number of faults, shows in the state of the session alone.)
func TestForeignCheckpointsArePassedOver(t *testing.T) {
	for name, c := range map[string]struct {
		judge string
		other bool // the checkpoints are of another session
		used  bool
	}{
		"of this judge":       {judge: "0123456789abcdef", used: true},
		"of another judge":    {judge: "0123456789abcdee"},
		"of an unknown judge": {judge: ""},
		"of another session":  {judge: "0123456789abcdef", other: true},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				f := session.Folder(folder)
				s := newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 1, 16*time.Second))
				if c.other { // of the same length and the same model, a second later
					from := session.Folder(filepath.Join(t.TempDir(), "other"))
					s := newSitting(string(from), "main")
					require.NoError(t, s.listen(t, "good", 1, 16*time.Second))
					text, err := os.ReadFile(from.Path(session.CheckpointsFile))
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(f.Path(session.CheckpointsFile), text, 0o600))
				}
				alter(t, f.Path(session.CheckpointsFile), `"faults":0`, `"faults":1000`)
				if c.judge == "" {
					alter(t, f.Path(session.CheckpointsFile), `"judge":"0123456789abcdef"`, `"judge":""`)
				}
				s = newSitting(folder, "main")
				s.opt.Judge = func() string { return c.judge }
				live, err := s.open()
				require.NoError(t, err)
				ctx, stop := timeout(t, 5*time.Second)
				defer stop()
				require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 2)))
				assert.Equal(t, c.used, live.State().Faults == 1000)
				assert.Empty(t, s.said)
				journal, err := os.ReadFile(f.Path(session.TimelineFile))
				require.NoError(t, err)
				require.Equal(t, string(journal), replayed(t, folder, 0, nil))
			})
		})
	}
}

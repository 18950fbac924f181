package session_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// What somebody, or a bad disk, does to a timeline while nobody listens.
var harm = map[string]struct {
	do   func(t *testing.T, lines []string) []string
	says string // at the next opening or once what was heard before was judged again
}{
	"cut at a line border": {func(_ *testing.T, l []string) []string { return l[:len(l)-7] }, "the timeline was longer"},
	"deleted":              {func(*testing.T, []string) []string { return nil }, "the timeline was longer"},
	"lines deleted":        {func(_ *testing.T, l []string) []string { return slices.Delete(l, 3, 13) }, "10 events were judged again"},
	"one line deleted":     {func(_ *testing.T, l []string) []string { return slices.Delete(l, 5, 6) }, "1 events were judged again"},
	"lines reordered": {func(_ *testing.T, l []string) []string {
		l[4], l[9] = l[9], l[4]
		return l
	}, "0 events were judged again"},
	"a line damaged": {func(_ *testing.T, l []string) []string {
		l[6] = strings.Replace(l[6], `"seq":7`, `"seq":8`, 1)
		return l
	}, "1 events were judged again"},
	"another's lines": {func(t *testing.T, l []string) []string {
		return numbered(t, slices.Delete(l, 4, 6))
	}, "gives another event 5 than the timeline has"},
}

// The same build puts back what the timeline lacks, says what it found, and keeps it; the
// journal is then what a replay gives.
func TestATimelineThatWasHarmedIsMendedOrTold(t *testing.T) {
	for name, c := range harm {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				path := session.Folder(folder).Path(session.TimelineFile)
				s := newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 1, 50*time.Second))
				whole := linesOf(t, path)
				require.Greater(t, len(whole), 20)
				harmed := strings.Join(c.do(t, slices.Clone(whole)), "")
				require.NoError(t, os.WriteFile(path, []byte(harmed), 0o600))
				time.Sleep(time.Second)

				s = newSitting(folder, "main")
				live, err := s.open()
				require.NoError(t, err)
				ctx, stop := timeout(t, 20*time.Second)
				defer stop()
				require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 2)))
				said := strings.Join(live.Notices, "\n") + s.notices()
				assert.Contains(t, said, c.says)
				if name == "another's lines" {
					assert.True(t, strings.HasPrefix(strings.Join(linesOf(t, path), ""), harmed), "it stays as it is")
					return
				}
				assert.Equal(t, whole, linesOf(t, path)[:len(whole)])
				requireSameEverywhere(t, folder)
				if strings.Contains(c.says, "judged again") {
					kept, err := os.ReadFile(session.Folder(folder).Path("timeline-as-found.jsonl"))
					require.NoError(t, err)
					assert.True(t, strings.HasPrefix(string(kept), harmed))
				}
			})
		})
	}
}

// A recording that is gone, or has nothing in it, ends no timeline for good.
func TestATimelineWithoutItsRecordingIsPutAside(t *testing.T) {
	for name, lose := range map[string]func(path string) error{
		"gone":    os.Remove,
		"emptied": func(path string) error { return os.Truncate(path, 0) },
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				f := session.Folder(folder)
				s := newSitting(folder, "main")
				require.NoError(t, s.listen(t, "good", 1, 10*time.Second))
				old, err := os.ReadFile(f.Path(session.TimelineFile))
				require.NoError(t, err)
				require.NoError(t, lose(f.Path(session.RecordingFile)))

				s = newSitting(folder, "main")
				live, err := s.open()
				require.NoError(t, err)
				ctx, stop := timeout(t, 10*time.Second)
				defer stop()
				require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 2)))
				assert.Contains(t, strings.Join(live.Notices, "\n"), "the recording of this session is gone or has no input: its timeline")
				kept, err := os.ReadFile(f.Path("timeline-without-recording.jsonl"))
				require.NoError(t, err)
				assert.Equal(t, string(old), string(kept))
				requireSameEverywhere(t, folder)
			})
		})
	}
}

// A power cut may leave a timeline that is ahead of its recording.
func TestEventsWithoutACauseAreTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		f := session.Folder(folder)
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 50*time.Second))
		recorded := f.Path(session.RecordingFile)
		info, err := os.Stat(recorded)
		require.NoError(t, err)
		require.NoError(t, os.Truncate(recorded, info.Size()*2/3))
		s = newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 2, 5*time.Second))
		assert.Regexp(t, `the last \d+ events of the timeline have nothing in the recording any more that caused them`, s.notices())
	})
}

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
	"benchproof.example/monitor/session"
)

// thinned is a session from which all packed parts that there may be were taken away.
func thinned(t *testing.T, folder string) {
	long(t, folder)
	thin, err := session.OpenToThin(session.Folder(folder))
	require.NoError(t, err)
	defer thin.Close()
	list, err := thin.Before(t.Context(), time.Now().UnixNano())
	require.NoError(t, err)
	require.Greater(t, len(list), 5)
	for _, s := range list {
		require.NoError(t, thin.Thin(t.Context(), s))
	}
}

// A thinned session goes on like any other. Where it would have to be judged from its start,
// it says why that can't be, and its timeline stays.
func TestAThinnedSessionGoesOn(t *testing.T) {
	for name, c := range map[string]struct {
		do    func(t *testing.T, folder string)
		said  string // "": nothing
		fault string // that verify finds before it is resumed
	}{
		"as it is":             {func(*testing.T, string) {}, "", ""},
		"without checkpoints":  {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "checkpoints.jsonl"))) }, "was thinned", ""},
		"with a line deleted":  {onLines(func(l []string) []string { return append(l[:5:5], l[6:]...) }), "was thinned", "events 6 to 6 are lacking"},
		"with its end cut off": {onLines(func(l []string) []string { return l[:len(l)-1] }), "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				thinned(t, folder)
				c.do(t, folder)
				path := session.Folder(folder).Path(session.TimelineFile)
				before := linesOf(t, path)
				found := verified(t, folder)
				if c.fault != "" {
					assert.Contains(t, strings.Join(found.Faults, "\n"), c.fault)
				}
				assert.Contains(t, strings.Join(found.Notes, "\n"), "can't be judged again whole")

				s := inSegments(folder, 10, "main")
				require.NoError(t, s.listen(t, "good", 3, 30*time.Second))
				after := linesOf(t, path)
				require.Equal(t, before, after[:len(before)], "what was judged when all was there stays")
				own := strings.Join(after[len(before):], "")
				assert.Contains(t, own, `"session.resumed"`)
				assert.Contains(t, own, `"bus.locked"`)
				assert.NotContains(t, own, `"recording.hurt"`)
				assert.NotContains(t, s.notices(), "another build")
				if c.said == "" {
					assert.Equal(t, "[]", s.notices())
				}
				assert.Contains(t, s.notices(), c.said)

				r, err := session.OpenReplay(session.Folder(folder), readStarter(t), func(*event.Event, int64) {})
				require.NoError(t, err)
				drainReplay(t, r)
				assert.Contains(t, strings.Join(r.Close(), "\n"), "the session can't be judged again whole: recording-000001.pcapng.zst was thinned")
				found = verified(t, folder)
				if c.fault == "" {
					assert.Empty(t, found.Faults)
				}
			})
		})
	}
}

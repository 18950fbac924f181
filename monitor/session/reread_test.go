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

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
)

// What is wrong with a part that opening a session does not read is found while it goes on,
// once, and is an event like any other: recorded, and there in each replay.
func TestClosedPartsAreReadOnceMore(t *testing.T) {
	for name, c := range map[string]struct {
		do   func(t *testing.T, folder string)
		says []string // the part and what is wrong
	}{
		"whole": {do: func(*testing.T, string) {}},
		"hurt": {func(t *testing.T, f string) {
			rewrite(t, one(t, f, "recording-000002.*"), func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
		}, []string{"recording-000002.pcapng.zst at byte 0: packed data damaged"}},
		"gone": {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "recording-000003.*"))) },
			[]string{"recording-000004.pcapng it begins with input"}},
		"cut": {func(t *testing.T, f string) {
			rewrite(t, one(t, f, "recording-000004.*"), func(b []byte) []byte { return b[:len(b)-30] })
		}, []string{"recording-000004.pcapng"}},
		"of another session": {func(t *testing.T, f string) {
			other := filepath.Join(t.TempDir(), "other")
			s := inSegments(other, 6, "main")
			require.NoError(t, s.listen(t, "good", 1, 38*time.Second))
			foreign, err := os.ReadFile(one(t, other, "recording-000002.*"))
			require.NoError(t, err)
			rewrite(t, one(t, f, "recording-000002.*"), func([]byte) []byte { return foreign })
		}, []string{"recording-000002.pcapng.zst it is part of another session"}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				s := inSegments(folder, 6, "main")
				require.NoError(t, s.listen(t, "good", 1, 38*time.Second))
				c.do(t, folder)
				s = inSegments(folder, 1000, "main")
				require.NoError(t, s.listen(t, "good", 2, 100*time.Second))
				var found []string
				for _, e := range s.shown {
					if d, ok := e.Event.Data.(event.RecordingHurtData); ok {
						found = append(found, d.Part+" "+d.Why)
					}
				}
				require.Len(t, found, len(c.says), found)
				for i := range found {
					assert.True(t, strings.HasPrefix(found[i], c.says[i]), found[i])
				}
				if name == "whole" {
					requireSameEverywhere(t, folder)
					return
				}
				own := lastResumed(t, linesOf(t, session.Folder(folder).Path(session.TimelineFile)))
				assert.Equal(t, len(c.says), strings.Count(strings.Join(own, ""), `"recording.hurt"`))
				again := slices.DeleteFunc(strings.SplitAfter(replayOfHurt(t, folder), "\n"), func(l string) bool { return !strings.Contains(l, `"recording.hurt"`) })
				assert.Len(t, again, len(c.says), "it is in the recording")
			})
		})
	}
}

// replayOfHurt is the timeline that a recording with damages gives.
func replayOfHurt(t *testing.T, folder string) string {
	var out strings.Builder
	r, err := session.OpenReplay(session.Folder(folder), readStarter(t), func(e *event.Event, _ int64) {
		out.WriteString(`"` + e.Kind + "\"\n")
	})
	require.NoError(t, err)
	drainReplay(t, r)
	require.NotEmpty(t, r.Close())
	return out.String()
}

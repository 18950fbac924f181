package session_test

import (
	"context"
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
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
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

// What is asked for is thinned where nothing happened. Around an event all stays: the beginning, a stick that moves
// to its end, a mark.
func TestNothingIsThinnedAroundAnEvent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := inSegments(folder, 10, "main")
		quiet, err := script.Parse("quiet", []byte(simtest.Reedwing+"receiver main hold\n0s signal on\n280s signal off\n282s signal on\n500s end\n"))
		require.NoError(t, err)
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 490*time.Second)
		defer stop()
		require.NoError(t, live.Run(ctx, play(live.Seq, quiet, 1)))

		thin, err := session.OpenToThin(session.Folder(folder))
		require.NoError(t, err)
		defer thin.Close()
		list, err := thin.Before(t.Context(), time.Now().UnixNano())
		require.NoError(t, err)
		uneventful, eventful, err := thin.Uneventful(list)
		require.NoError(t, err)
		assert.Equal(t, len(list), len(uneventful)+len(eventful))
		require.NotEmpty(t, uneventful)
		assert.Equal(t, 1, eventful[0].Number, "a session began")
		happened := []unit.Time{}
		for _, line := range linesOf(t, session.Folder(folder).Path(session.TimelineFile)) {
			e, err := timeline.Parse([]byte(strings.TrimSpace(line)))
			require.NoError(t, err)
			if event.OnScreen(&event.Event{Kind: e.Kind}) && e.Kind != event.AirMissed && e.Kind != event.BusLate {
				happened = append(happened, e.From, e.At)
			}
		}
		for _, one := range uneventful {
			from, to := thin.Span(one)
			for _, at := range happened {
				assert.True(t, at < from.Add(-session.AroundEvents) || at > to.Add(session.AroundEvents), "%s, %d to %d: %d", one.Name, from, to, at)
			}
			require.NoError(t, thin.Thin(t.Context(), one))
		}
		near := func(at unit.Time) bool {
			for _, one := range eventful {
				if from, to := thin.Span(one); from <= at && at <= to {
					return true
				}
			}
			return false
		}
		assert.True(t, near(unit.Time(281*unit.Second)), "the loss")
		assert.True(t, near(unit.Time(225*unit.Second)), "less than a minute before it")
		assert.False(t, near(unit.Time(190*unit.Second)))

		path := session.Folder(folder).Path(session.TimelineFile)
		lines := linesOf(t, path)
		lines[len(lines)/2] = "damage\n"
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "")), 0o600))
		uneventful, _, err = thin.Uneventful(list)
		require.NoError(t, err)
		assert.Empty(t, uneventful, "nobody knows what happened")
		require.NoError(t, os.Remove(path))
		_, _, err = thin.Uneventful(list)
		require.ErrorContains(t, err, "nobody knows what happened without the timeline")
	})
}

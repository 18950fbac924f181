package session_test

import (
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

// judgedAgain is the record that judging the recording of a folder again makes.
func judgedAgain(t testing.TB, folder string) string {
	t.Helper()
	f := session.Folder(folder)
	s, err := f.ReadSheet()
	require.NoError(t, err)
	text, err := f.SheetText()
	require.NoError(t, err)
	g := record.NewGathering(s)
	r, err := session.OpenReplay(f, s, g.OnEvent)
	require.NoError(t, err)
	require.NoError(t, engine.Run(r.Source, r.Engine, func(in *event.Input) { g.Judged(in, r.Engine) }))
	made, err := g.Record(r.Engine, string(text), r.Close())
	require.NoError(t, err)
	return encoded(t, made)
}

func encoded(t testing.TB, r *record.Record) string {
	t.Helper()
	data, err := r.Encode()
	require.NoError(t, err)
	return string(data)
}

// hears runs a sitting for a while, and returns the record that it ends with, if any.
func (s *sitting) hears(t *testing.T, name string, seed uint64, d time.Duration) (*record.Record, error) {
	t.Helper()
	live, err := s.open()
	require.NoError(t, err)
	ctx, stop := timeout(t, d)
	defer stop()
	require.NoError(t, live.Run(ctx, play(live.Seq, named(t, name), seed)))
	return live.Record()
}

// The record of a session is written from what was gathered while it was heard, also
// where it went on from a checkpoint, and is what judging the recording again gives.
func TestTheRecordNeedsNoSecondJudging(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		for seed := range uint64(3) {
			made, err := newSitting(folder, named(t, "wing").TapNames()...).hears(t, "wing", seed, 70*time.Second)
			require.NoError(t, err)
			require.Equal(t, judgedAgain(t, folder), encoded(t, made))
			assert.Greater(t, len(made.Traces), 5)
			time.Sleep(2 * time.Second)
		}
	})
}

// Closed parts of a recording that nobody has read since the session was opened may be
// hurt: until all are read the record is what judging them gives.
func TestTheRecordWaitsForClosedPartsToBeRead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		of := func(seconds unit.Duration) *sitting {
			return inSegments(folder, seconds, named(t, "two").TapNames()...)
		}
		made, err := of(15).hears(t, "two", 1, 40*time.Second)
		require.NoError(t, err, "all parts are its own")
		require.Equal(t, judgedAgain(t, folder), encoded(t, made))
		_, err = of(100).hears(t, "two", 2, 15*time.Second)
		require.ErrorIs(t, err, record.ErrNotGathered, "two closed parts, and one is read each ten seconds")
		made, err = of(100).hears(t, "two", 3, 45*time.Second)
		require.NoError(t, err)
		require.Equal(t, judgedAgain(t, folder), encoded(t, made))
	})
}

package session_test

import (
	"context"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// countedFolder counts what is read of the timeline.
type countedFolder struct {
	files.Folder
	read atomic.Int64
}

func (c *countedFolder) Open(name string) (files.File, error) {
	f, err := c.Folder.Open(name)
	return c.counted(name, f, err)
}

func (c *countedFolder) Edit(name string) (files.File, error) {
	f, err := c.Folder.Edit(name)
	return c.counted(name, f, err)
}

func (c *countedFolder) counted(name string, f files.File, err error) (files.File, error) {
	if err != nil || name != session.TimelineFile {
		return f, err
	}
	return &countedFile{f, c}, nil
}

func (c *countedFolder) Holds(name string, f files.File) bool {
	if own, ok := f.(*countedFile); ok {
		f = own.File
	}
	return c.Folder.Holds(name, f)
}

type countedFile struct {
	files.File
	folder *countedFolder
}

func (f *countedFile) ReadAt(p []byte, at int64) (int, error) {
	n, err := f.File.ReadAt(p, at)
	f.folder.read.Add(int64(n))
	return n, err
}

// openCounted opens a session whose timeline counts as long from its first byte on, and
// says how much of it was read.
func openCounted(t *testing.T, s *sitting) (live *session.Live, read int) {
	t.Helper()
	counted := &countedFolder{}
	s.opt.Whole = 1
	s.opt.OpenFolder = func(path string) (in files.Folder, err error) {
		counted.Folder, err = files.MakeFolder(path)
		return counted, err
	}
	live, err := s.open()
	require.NoError(t, err)
	return live, int(counted.read.Load())
}

func runFor(t *testing.T, live *session.Live, script string, d time.Duration) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), d)
	defer stop()
	require.NoError(t, live.Run(ctx, play(live.Seq, named(t, script), 5)))
}

// Of a long timeline only the end is read before a session goes on, by whatever build,
// and it goes on as if all had been.
func TestALongTimelineIsReadFromItsEnd(t *testing.T) {
	for _, judge := range []string{"0123456789abcdef", "another build"} {
		synctest.Test(t, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "s")
			s := newSitting(folder, "main")
			require.NoError(t, s.listen(t, "good", 1, 60*time.Second))
			time.Sleep(time.Minute)
			text, err := os.ReadFile(filepath.Join(folder, session.TimelineFile))
			require.NoError(t, err)

			s = newSitting(folder, "main")
			s.opt.Judge = func() string { return judge }
			live, read := openCounted(t, s)
			assert.Less(t, read, len(text)/2+len(text)/4, "the place is looked at, and what stands behind it")
			runFor(t, live, "good", 20*time.Second)
			assert.Empty(t, live.Notices)
			assert.Equal(t, "[]", s.notices())
			requireSameEverywhere(t, folder)
		})
	}
}

// What was done to the part of a long timeline that is not read at once is found while the
// session is heard, and mended when it is opened again.
func TestALongTimelineThatWasHurtIsFoundAndMended(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 60*time.Second))
		path := filepath.Join(folder, session.TimelineFile)
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		text[len(splitLines(string(text))[0])+30] ^= 1 // in the second line
		require.NoError(t, os.WriteFile(path, text, 0o600))

		time.Sleep(time.Minute)
		s = newSitting(folder, "main")
		live, _ := openCounted(t, s)
		assert.Empty(t, live.Notices)
		runFor(t, live, "good", 10*time.Second)
		assert.Contains(t, s.notices(), "is not as it was written (1 damaged lines")

		time.Sleep(time.Minute)
		s = newSitting(folder, "main")
		live, _ = openCounted(t, s)
		assert.Contains(t, live.Notices[0], "the timeline is damaged in the middle")
		runFor(t, live, "good", 10*time.Second)
		assert.Contains(t, s.notices(), "the timeline was not whole: 1 events were judged again from the recording")

		time.Sleep(time.Minute)
		s = newSitting(folder, "main")
		live, _ = openCounted(t, s)
		runFor(t, live, "good", 10*time.Second)
		assert.Equal(t, "[]", s.notices())
		requireSameEverywhere(t, folder)
	})
}

// A session of a week begins to hear within two seconds, also where no checkpoint fits and
// all of the timeline is read. A bus in use makes ten thousand events a day.
func TestASessionOfAWeekBeginsAtOnce(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "s")
	s := newSitting(folder, "main")
	live, err := s.open()
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	require.NoError(t, live.Run(ctx))
	path := filepath.Join(folder, session.TimelineFile)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	data := event.VerdictData{Verdict: "seen right", Was: "open", Sentence: "at aid first the bus asks for plain, 139.5 µs inside its window, which is a guess",
		Figures: map[string]int64{"margin_ns": 139_500, "width_ns": 1_040_500}}
	for seq := int64(len(splitLines(string(text))) + 1); seq < 70_000; seq++ {
		at := unit.Time(seq) * unit.Time(9*unit.Second)
		text, err = timeline.Line(text, &event.Event{Seq: seq, At: at, From: at, Kind: event.VerdictChanged, About: "claim:mode/plain/first", Data: data}, int64(at))
		require.NoError(t, err)
	}
	require.NoError(t, os.WriteFile(path, text, 0o600))
	require.NoError(t, os.RemoveAll(filepath.Join(folder, session.CheckpointsFile)))

	s = newSitting(folder, "main")
	began := time.Now()
	live, err = s.open()
	took := time.Since(began)
	require.NoError(t, err)
	ctx, stop = context.WithCancel(t.Context())
	stop()
	require.NoError(t, live.Run(ctx))
	t.Logf("%d MB of timeline: %v", len(text)>>20, took)
	assert.Less(t, took, 2*time.Second)
}

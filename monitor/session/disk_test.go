package session_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// badDisk is a real folder whose recording is on a disk with faults.
type badDisk struct {
	files.Folder
	recording files.File

	mu    sync.Mutex
	room  int           // bytes it still takes; -1: any number
	hangs chan struct{} // writes wait until it is closed; nil: they don't
}

func (d *badDisk) set(room int, hangs chan struct{}) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.room, d.hangs = room, hangs
}

func (d *badDisk) Edit(name string) (files.File, error) {
	f, err := d.Folder.Edit(name)
	if err != nil || name != session.RecordingFile {
		return f, err
	}
	d.recording = f
	return badFile{f, d}, nil
}

func (d *badDisk) Holds(name string, f files.File) bool {
	if own, ok := f.(badFile); ok {
		f = own.File
	}
	return d.Folder.Holds(name, f)
}

// badFile is the recording as a badDisk has it.
type badFile struct {
	files.File
	disk *badDisk
}

func (f badFile) WriteAt(p []byte, at int64) (int, error) { return f.disk.writeAt(p, at) }

func (d *badDisk) writeAt(p []byte, at int64) (int, error) {
	d.mu.Lock()
	room, hangs := d.room, d.hangs
	d.mu.Unlock()
	if hangs != nil {
		<-hangs
	}
	if room < 0 || len(p) <= room {
		if room >= 0 {
			d.set(room-len(p), nil)
		}
		return d.recording.WriteAt(p, at)
	}
	n, _ := d.recording.WriteAt(p[:room], at)
	d.set(0, nil)
	return n, &os.PathError{Op: "write", Path: session.RecordingFile, Err: syscall.ENOSPC}
}

func withBadDisk(s *sitting) *badDisk {
	d := &badDisk{room: -1}
	s.opt.OpenFolder = func(path string) (in files.Folder, err error) {
		d.Folder, err = files.MakeFolder(path)
		return d, err
	}
	return d
}

// at calls f at a moment of the sitting.
func at(d time.Duration, f func()) func(context.Context) {
	return func(ctx context.Context) {
		select {
		case <-ctx.Done():
		case <-time.After(d):
			f()
		}
	}
}

func (s *sitting) indexOf(t testing.TB, kind string, nth int) int {
	t.Helper()
	for i, k := range s.kinds() {
		if k == kind {
			if nth--; nth == 0 {
				return i
			}
		}
	}
	t.Fatalf("no %s among %v", kind, s.kinds())
	return 0
}

func TestADiskThatHangsTenSecondsStopsTheRecordingAndNotTheWatching(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		d := withBadDisk(s)
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 58*time.Second)
		defer stop()
		hangs := make(chan struct{})
		var during, after state.State
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1),
			at(12*time.Second, func() { d.set(-1, hangs) }),
			at(20*time.Second, func() { during = live.State() }),
			at(30*time.Second, func() { after = live.State() }),
			at(22*time.Second, func() { d.set(-1, nil); close(hangs) })))

		gap := s.indexOf(t, event.RecordingGap, 1)
		began := s.shown[gap]
		assert.InDelta(t, 14.5, float64(began.Event.At)/1e9, 1, "two seconds and a beat after the disk stopped")
		assert.False(t, began.Event.Data.(event.RecordingGapData).Ended)
		ended := s.shown[s.indexOf(t, event.RecordingGap, 2)]
		assert.True(t, ended.Event.Data.(event.RecordingGapData).Ended)
		assert.InDelta(t, 22.5, float64(ended.Event.At)/1e9, 1.1)
		assert.Greater(t, ended.Event.Data.(event.RecordingGapData).Inputs, int64(1000))
		asked := slices.ContainsFunc(s.shown, func(e session.Shown) bool {
			return e.Event.Kind == event.ModeAsked && e.Event.At > began.Event.At && e.Event.At < ended.Event.At
		})
		assert.True(t, asked, "watching goes on in the gap")
		assert.Contains(t, s.notices(), "has not answered for 2 s")
		assert.True(t, during.Recorder.Stalled)
		assert.False(t, during.Recorder.Recording)
		assert.Contains(t, during.Recorder.Trouble, "has not answered for 2 s")
		assert.True(t, during.Taps[0].Locked, "and what is heard can be looked at")
		assert.False(t, after.Recorder.Stalled)
		assert.True(t, after.Recorder.Recording)
		assert.Empty(t, after.Recorder.Trouble)
		assert.Greater(t, after.Taps[0].Frames, during.Taps[0].Frames, "counting goes on over a fresh start of judgement")
		requireSameOutsideTheGap(t, folder, began.Event, ended.Event)
	})
}

func TestAFullDiskStopsTheRecordingAndNotTheWatching(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		d := withBadDisk(s)
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 58*time.Second)
		defer stop()
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1),
			at(12*time.Second, func() { d.set(1001, nil) }),
			at(30*time.Second, func() { d.set(-1, nil) })))
		began, ended := s.shown[s.indexOf(t, event.RecordingGap, 1)].Event, s.shown[s.indexOf(t, event.RecordingGap, 2)].Event
		assert.InDelta(t, 12.1, float64(began.At)/1e9, 0.2, "a disk that says so is believed at once")
		assert.Contains(t, s.notices(), "no space left on device")
		requireSameOutsideTheGap(t, folder, began, ended)
	})
}

// A recording that has all the room that it may have stops, and watching goes on.
func TestARecordingThatHasAllItsRoomStops(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := inSegments(folder, 10, "main")
		s.opt.Room = 250_000
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 58*time.Second)
		defer stop()
		require.ErrorContains(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1)),
			"the end of this session could not be recorded: the recording has the 0.00 GB that it may have")
		assert.Contains(t, s.notices(), "the recording has the 0.00 GB that it may have (recording-room)")
		began := s.shown[s.indexOf(t, event.RecordingGap, 1)].Event
		assert.Contains(t, event.Sentence(&began), "recording-room")
		assert.Greater(t, s.shown[len(s.shown)-1].Event.At, began.At.Add(5*unit.Second), "watching goes on")
		all, err := closedAndOpen(folder)
		require.NoError(t, err)
		assert.Less(t, all, int64(300_000), "a batch more at most")
	})
}

// Where there is room again the recording goes on.
func TestARecordingGoesOnWhereRoomWasMade(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		s.opt.Room = 1_000_000
		live, err := s.open()
		require.NoError(t, err)
		other := filepath.Join(folder, "recording-000099.pcapng")
		ctx, stop := context.WithTimeout(t.Context(), 25*time.Second)
		defer stop()
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1),
			at(2*time.Second, func() { assert.NoError(t, os.WriteFile(other, make([]byte, 950_000), 0o600)) }),
			at(20*time.Second, func() { assert.NoError(t, os.Remove(other)) })))
		began, ended := s.shown[s.indexOf(t, event.RecordingGap, 1)].Event, s.shown[s.indexOf(t, event.RecordingGap, 2)].Event
		assert.Less(t, began.At, unit.Time(15*unit.Second))
		assert.InDelta(t, 21, float64(ended.At)/1e9, 1.5)
		requireSameOutsideTheGap(t, folder, began, ended)
	})
}

// closedAndOpen is what a recording takes, bytes.
func closedAndOpen(folder string) (sum int64, err error) {
	list, err := filepath.Glob(filepath.Join(folder, "recording*.pcapng*"))
	for _, path := range list {
		at, e := os.Stat(path)
		if err = errors.Join(err, e); e == nil {
			sum += at.Size()
		}
	}
	return sum, err
}

func TestADiskThatStaysFullIsSaidAtTheEndAndTheSessionGoesOnLater(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		d := withBadDisk(s)
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
		defer stop()
		err = live.Run(ctx, play(live.Seq, named(t, "good"), 1), at(12*time.Second, func() { d.set(1001, nil) }))
		require.ErrorContains(t, err, "the end of this session could not be recorded")
		shown := len(s.kinds())

		s = newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 2, 10*time.Second))
		resumed := s.shown[s.indexOf(t, event.SessionResumed, 1)].Event
		assert.Greater(t, resumed.Seq, int64(shown)-1, "numbers go on after what the journal has")
	})
}

// A disk that hangs for good: the end is not waited for.
func TestADiskThatHangsForGoodDoesNotHoldUpTheEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		d := withBadDisk(s)
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
		defer stop()
		hangs := make(chan struct{})
		began := time.Now()
		err = live.Run(ctx, play(live.Seq, named(t, "good"), 1), at(12*time.Second, func() { d.set(-1, hangs) }))
		require.ErrorContains(t, err, "has not answered for 1.2s and is not waited for: what was heard from 0:11.992 on is not recorded")
		require.Less(t, time.Since(began), 21500*time.Millisecond, "it was to end after 20 s")
		close(hangs) // lets the goroutines of the test end
	})
}

// requireSameOutsideTheGap holds the journal to a replay, which can't have what
// the gap swallowed.
func requireSameOutsideTheGap(t *testing.T, folder string, began, ended event.Event) {
	t.Helper()
	journal, err := os.ReadFile(session.Folder(folder).Path(session.TimelineFile))
	require.NoError(t, err)
	var want string
	for i, line := range splitLines(string(journal)) {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		require.NoError(t, err)
		// What the gap's beginning itself ends is reported at its date, and the replay has it.
		if seq := int64(i + 1); seq <= began.Seq || seq >= ended.Seq || e.At == began.At {
			want += line
		}
	}
	require.Equal(t, want, replayed(t, folder, 0, nil))
	require.Equal(t, want, replayed(t, folder, 1, nil))
	require.Greater(t, ended.Seq, began.Seq+1, "something was seen in the gap")
}

package session_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/timeline"
)

// sitting is a live session in simulated time, with all it showed and said.
type sitting struct {
	mu    sync.Mutex
	shown []session.Shown
	said  []string
	opt   session.Options
}

func newSitting(folder string, taps ...string) *sitting {
	start := time.Now()
	s := &sitting{}
	s.opt = session.Options{
		Folder: session.Folder(folder), SheetName: "starter", SheetText: sheet.Starter(), Build: "test",
		Clock: func() int64 { return int64(time.Since(start)) }, Wall: time.Now, Every: 2, Kept: 1000, Judge: func() string { return "0123456789abcdef" },
	}
	for _, t := range taps {
		s.opt.Taps = append(s.opt.Taps, event.TapName{Name: t, Kind: "bus"})
	}
	return s
}

// open opens the session and subscribes to all of it.
func (s *sitting) open() (*session.Live, error) {
	live, err := session.Open(context.Background(), s.opt)
	if err != nil {
		return nil, err
	}
	live.Subscribe(session.Subscriber{
		Shown: func(e session.Shown) {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.shown = append(s.shown, e)
		},
		Trouble: func(err error) {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.said = append(s.said, err.Error())
		},
	})
	return live, nil
}

func (s *sitting) kinds() (k []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range s.shown {
		k = append(k, s.shown[i].Event.Kind)
	}
	return k
}

func (s *sitting) notices() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return fmt.Sprint(s.said)
}

// play puts what a simulated bench delivers, at its dates, until ctx is done,
// then over again.
func play(seq *port.Sequencer, scripted *script.Script, seed uint64) func(context.Context) {
	return func(ctx context.Context) {
		for i := range scripted.TapNames() {
			seq.Put(uint8(i+1), event.InputTapUp, []byte(`{"port":"simulated"}`))
		}
		_ = world.Play(ctx, world.New(&scripted.Plan, seed), puts(seq, scripted), world.RealTime{})
		<-ctx.Done()
	}
}

func puts(seq *port.Sequencer, scripted *script.Script) (ends []world.Sink) {
	for i := range scripted.TapNames() {
		ends = append(ends, world.SinkFunc(func(d world.Delivery) error {
			put(seq, uint8(i+1), d)
			return nil
		}))
	}
	return ends
}

func put(seq *port.Sequencer, tap uint8, d world.Delivery) {
	switch {
	case d.Kind == world.Unplugged:
		seq.Put(tap, event.InputTapDown, []byte("unplugged"))
	case d.Kind == world.Plugged:
		seq.Put(tap, event.InputTapUp, []byte(`{"port":"simulated"}`))
	case d.Bad:
		seq.Put(tap, event.InputBadBytes, d.Data)
	default:
		seq.Put(tap, event.InputBytes, d.Data)
	}
}

func timeout(t testing.TB, d time.Duration) (context.Context, context.CancelFunc) {
	return context.WithTimeout(t.Context(), d)
}

func named(t testing.TB, name string) *script.Script {
	s, err := script.Named(name)
	require.NoError(t, err)
	return s
}

// replayed is the timeline that the recording gives, whole or in pieces, from
// the start or from a checkpoint.
func replayed(t testing.TB, folder string, pieces int, from *recording.Checkpoint) string {
	t.Helper()
	s, err := session.Folder(folder).ReadSheet()
	require.NoError(t, err)
	var out bytes.Buffer
	hear := func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		require.NoError(t, err)
		out.Write(line)
	}
	var r *session.Replay
	if from == nil {
		r, err = session.OpenReplay(session.Folder(folder), s, hear)
	} else {
		r, err = session.OpenReplayAt(session.Folder(folder), from, s, hear)
	}
	require.NoError(t, err)
	if pieces > 0 {
		r.Source = &session.Pieces{Of: r.Source, N: pieces}
	}
	require.NoError(t, engine.Run(r.Source, r.Engine, nil))
	require.Empty(t, r.Close())
	return out.String()
}

// requireSameEverywhere holds the journal to replays at max, in one-byte pieces
// and from every checkpoint.
func requireSameEverywhere(t testing.TB, folder string) (events, checkpoints int) {
	t.Helper()
	journal, err := os.ReadFile(session.Folder(folder).Path(session.TimelineFile))
	require.NoError(t, err)
	want := string(journal)
	require.NotEmpty(t, want)
	require.Equal(t, want, replayed(t, folder, 0, nil), "replay at max")
	require.Equal(t, want, replayed(t, folder, 1, nil), "replay in 1-byte pieces")
	list, err := recording.ReadCheckpoints(filestest.Folder(t, folder), session.CheckpointsFile)
	require.NoError(t, err)
	lines := bytes.SplitAfter(journal, []byte("\n"))
	for i := range list {
		rest := string(bytes.Join(lines[list[i].Seq-1:], nil))
		require.Equal(t, rest, replayed(t, folder, 1, &list[i]), "replay from checkpoint %d at input %d", i, list[i].Input)
	}
	return len(lines) - 1, len(list)
}

func splitLines(s string) []string {
	lines := strings.SplitAfter(s, "\n")
	return lines[:len(lines)-1]
}

func readStarter(t testing.TB) *sheet.Sheet {
	t.Helper()
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	return s
}

func drainReplay(t testing.TB, r *session.Replay) {
	t.Helper()
	require.NoError(t, engine.Run(r.Source, r.Engine, nil))
}

// firstCheckpoint is the first that stands among the inputs of a segment, and how many
// inputs stand before it.
func firstCheckpoint(t testing.TB, r *recording.SegmentReader) (recording.Checkpoint, int) {
	t.Helper()
	var in event.Input
	for n := 0; ; n++ {
		require.NoError(t, r.Next(&in))
		if c, ok := r.Checkpoint(); ok {
			return c, n
		}
	}
}

package session

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// In whatever order the parts step, and whatever the disk does: what is shown is shown
// once and in order, outside of gaps only once it can be replayed, and the journal is
// what a replay gives.
func TestStepsInAnyOrderGiveWhatAReplayGives(t *testing.T) {
	gaps := 0
	for seed := range uint64(150) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			m := newInMemory(t)
			m.anyOrder(t, rand.New(rand.NewPCG(seed, 0)))
			m.requireSameOutsideGaps(t)
			if here := len(ofKinds(m.shownKinds(), event.RecordingGap)); here > 0 {
				gaps += here
				_, err := m.Record()
				require.ErrorIs(t, err, record.ErrNotGathered)
			} else {
				m.requireRecordOfAReplay(t)
			}
			last := int64(0)
			for _, e := range m.shown {
				require.Greater(t, e.Event.Seq, last)
				last = e.Event.Seq
			}
		})
	}
	assert.Greater(t, gaps, 50)
}

// anyOrder plays a session of some inputs to its end.
func (m *inMemory) anyOrder(t *testing.T, rng *rand.Rand) {
	sizes := map[string]int64{} // of the recording when a line was shown while it went on
	m.onShown = func(e Shown) {
		if !m.Seq.RecorderOff() {
			sizes[string(e.Line)] = int64(len(m.recording.data))
		}
	}
	fault := rng.IntN(3) > 0
	moves := []func(){
		func() { m.judge.step() },
		func() { m.rec.step() },
		func() { m.writer.step() },
		func() { m.mark("a") },
		func() { m.beat(); m.watchdog() },
		func() { m.now += rng.Int64N(second) },
		func() {
			if fault {
				m.someFault(rng)
			}
		},
	}
	for range 150 {
		moves[rng.IntN(len(moves))]()
	}
	m.recording.refuses, m.journal.refuses = 0, 0
	for m.now += second; m.Seq.RecorderOff(); m.mark("until it is over") { // or the end would be lost
		rest(t, m.rec.step)
		rest(t, m.judge.step)
	}
	m.Seq.Close(event.InputEnd)
	m.rec.close()
	require.Equal(t, wait{what: over}, rest(t, m.judge.step))
	require.Equal(t, wait{what: over}, rest(t, m.rec.step))
	m.finishWriting()
	require.Equal(t, wait{what: over}, rest(t, m.writer.step))
	require.Zero(t, m.writer.unwritten())
	require.Len(t, m.shown, len(m.journalled()))
	lines, ends := m.replayedFrom(t)
	for i, line := range lines {
		if size, ok := sizes[line]; ok {
			require.LessOrEqual(t, ends[i], size, "%s was shown before what caused it was recorded", line)
		}
	}
}

// someFault has one of the files refuse the next writes, or hang while all else goes on.
func (m *inMemory) someFault(rng *rand.Rand) {
	f := []*memoryFile{&m.recording, &m.journal}[rng.IntN(2)]
	if rng.IntN(2) == 0 {
		f.refuses, f.takes = rng.IntN(3), rng.IntN(400)
		return
	}
	f.stalls = func() {
		m.now += 3 * second
		m.beat()
		m.watchdog()
		for range rng.IntN(10) {
			m.judge.step()
		}
	}
}

// requireSameOutsideGaps holds the journal to a replay, which can't have what a gap
// swallowed.
func (m *inMemory) requireSameOutsideGaps(t *testing.T) {
	t.Helper()
	var want []string
	var gap *event.Event // that is not over yet
	for i, line := range m.journalled() {
		e, err := timeline.Parse([]byte(line[:len(line)-1]))
		require.NoError(t, err)
		s := slices.IndexFunc(m.shown, func(s Shown) bool { return s.Event.Seq == e.Seq })
		require.Equal(t, i, s, "what is shown is what is journalled")
		shown := m.shown[s].Event
		d, isGap := shown.Data.(event.RecordingGapData)
		if isGap && d.Ended {
			gap = nil
		}
		if gap == nil || shown.At == gap.At && isGap {
			want = append(want, line)
		}
		if isGap && !d.Ended {
			gap = &shown
		}
	}
	require.Equal(t, want, m.replayed(t))
}

// requireRecordOfAReplay holds what was gathered to what a replay gathers.
func (m *inMemory) requireRecordOfAReplay(t *testing.T) {
	t.Helper()
	g := record.NewGathering(starter(t))
	e := engine.New(starter(t), g.OnEvent)
	reader := recording.NewReader(bytes.NewReader(m.recording.data))
	require.NoError(t, engine.Run(reader, e, func(in *event.Input) { g.Judged(in, e) }))
	want, err := g.Record(e, "", nil)
	require.NoError(t, err)
	got, err := m.Record()
	require.NoError(t, err)
	require.Equal(t, want, got)
}

package monitor_test

import (
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
)

// gathered is the record of a scenario: as who judges the recording has it, or as a session
// has that is restarted from a checkpoint again and again.
func (s *scenario) gathered(t *testing.T, restarts bool) *record.Record {
	g := record.NewGathering(s.sheet)
	if restarts {
		g = record.NewBoundedGathering(s.sheet)
	}
	r, err := session.OpenReplay(session.Folder(s.folder), s.sheet, func(e *event.Event, wall int64) { g.OnEvent(e, wall) })
	require.NoError(t, err)
	var in event.Input
	for n := 1; ; n++ {
		err := r.Engine.StepFrom(r.Source, &in)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if g.Judged(&in, r.Engine); restarts && n%23 == 0 {
			g = restarted(t, g, s)
		}
	}
	require.Empty(t, r.Close())
	made, err := g.Record(r.Engine, "", nil)
	if restarts && gapped[s.name] {
		require.ErrorIs(t, err, record.ErrNotGathered)
		return s.gathered(t, false)
	}
	require.NoError(t, err)
	return made
}

// gapped are the scenarios in whose recording something is lacking.
var gapped = map[string]bool{"recording-gap": true, "papers-in-a-gap": true}

func restarted(t *testing.T, g *record.Gathering, s *scenario) *record.Gathering {
	state, err := g.Checkpoint()
	require.NoError(t, err)
	if state == nil {
		require.True(t, gapped[s.name])
		return g
	}
	g, err = record.RestoreGathering(state, s.sheet)
	require.NoError(t, err)
	return g
}

// What a session gathers while it is heard makes the record that judging its recording
// again makes, byte for byte. What was heard in a gap is in no recording: there only judging
// it makes the record.
func TestByHandRecordsNeedNoSecondJudging(t *testing.T) {
	traces := 0
	for _, s := range scenarios(t) {
		t.Run(s.name, func(t *testing.T) {
			want, err := s.gathered(t, false).Encode()
			require.NoError(t, err)
			made := s.gathered(t, true)
			got, err := made.Encode()
			require.NoError(t, err)
			require.Equal(t, string(want), string(got))
			traces += len(made.Traces)
		})
	}
	assert.Greater(t, traces, 150)
}

// What was decided, and what was lost, keeps its trace while a stick is stirred until the
// course of its channel is no longer all remembered.
func TestTracesAreKeptWhenCoursesAreForgotten(t *testing.T) {
	p := newPresent(t, 2)
	p.starts(event.InputBegin)
	p.opens(1)
	p.do("signal on")
	p.hands()
	p.loses()
	for n := range 90 {
		p.do("stick aileron %d over 900ms", []int{1000, 2000}[n%2])
		p.runs(950)
	}
	p.fromRecord()
	state, err := p.gather.Checkpoint()
	require.NoError(t, err)
	assert.Contains(t, string(state), `"Shed":true`, "the course of the aileron")
	assert.Less(t, len(state), 100_000, "of 512 KiB at most")
}

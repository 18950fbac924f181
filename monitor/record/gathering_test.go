package record

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func starter(t *testing.T) *sheet.Sheet {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	return s
}

// A course remembers so many points at least and a few hundred more at most, and knows how
// far back it reaches.
func TestACourseIsBounded(t *testing.T) {
	var c course
	var s signals
	at := unit.Time(0)
	for n := range uint32(5000) {
		at = at.Add(pace)
		c.latest(at, n%7*100)
		c.take(at, n%7*100, mostPoints)
		s.take(at, []string{"live", "missed"}[n%2], mostPoints)
		require.LessOrEqual(t, len(c.At), mostPoints+shedAtOnce)
		require.LessOrEqual(t, len(s.At), mostPoints+shedAtOnce)
	}
	require.GreaterOrEqual(t, len(c.At), mostPoints)
	assert.True(t, c.Shed && s.Shed)
	assert.True(t, c.reaches(at.Add(-mostPoints/2*pace)) && s.reaches(at.Add(-mostPoints/2*pace)))
	assert.False(t, c.reaches(c.At[0]) || s.reaches(s.At[0]), "another of that date may be gone")
	assert.True(t, (&course{At: []unit.Time{5}}).reaches(0), "before its first point nothing was")

	packed, err := json.Marshal(c)
	require.NoError(t, err)
	var again course
	require.NoError(t, json.Unmarshal(packed, &again))
	assert.Equal(t, c, again)
	assert.Error(t, json.Unmarshal([]byte(`{"Points":"gA=="}`), &again), "half a number")
}

// What has become too large for a checkpoint is given up, and so is what a gap in the
// recording makes of it: then only judging the recording makes the record.
func TestAGatheringIsGivenUp(t *testing.T) {
	began := &event.Event{Kind: event.SessionBegan, Data: event.SessionData{Build: "test"}}
	large := NewBoundedGathering(starter(t))
	large.OnEvent(began, 1)
	for range mostState / 1000 {
		large.OnEvent(&event.Event{Kind: event.Mark, Data: event.MarkData{Text: strings.Repeat("x", 1000)}}, 1)
	}
	gap := NewBoundedGathering(starter(t))
	gap.OnEvent(began, 1)
	gap.Judged(&event.Input{Kind: event.InputRecordingGap}, nil)
	for name, g := range map[string]*Gathering{"large": large, "gap": gap} {
		state, err := g.Checkpoint()
		require.NoError(t, err, name)
		require.Nil(t, state, name)
		g.OnEvent(began, 1)
		g.Judged(&event.Input{Kind: event.InputBeat}, nil)
		_, err = g.Record(nil, "", nil)
		require.ErrorIs(t, err, ErrNotGathered, name)
	}
	whole := NewGathering(starter(t))
	whole.Judged(&event.Input{Kind: event.InputRecordingGap}, nil)
	assert.False(t, whole.over, "who judges a recording reads what stands behind its gaps")
}

func TestWhatAnotherBuildGatheredIsRefused(t *testing.T) {
	state, err := NewBoundedGathering(starter(t)).Checkpoint()
	require.NoError(t, err)
	_, err = RestoreGathering(state, starter(t))
	require.NoError(t, err)
	for _, other := range []string{strings.Replace(string(state), `"Ended"`, `"Over"`, 1), "{", "[]"} {
		_, err := RestoreGathering(json.RawMessage(other), starter(t))
		assert.Error(t, err, other)
	}
}

// Traces are kept once a later frame was heard, and not before.
func TestATraceIsKeptOnceItIsOver(t *testing.T) {
	tracer := NewTracer(starter(t))
	tracer.Taps = []tapTrace{{Lines: make([]course, 16), Heard: true, At: unit.Time(3 * unit.Second)}}
	tracer.Taps[0].Lines[0].latest(0, 992)
	span := event.Span{From: unit.Time(unit.Second), To: unit.Time(2 * unit.Second)}
	var k keptTrace
	k.keep(tracer, 0, span, []int{1})
	assert.False(t, k.Over)
	tracer.Taps[0].At++
	k.keep(tracer, -1, span, []int{1})
	assert.False(t, k.Over, "no tap")
	k.keep(tracer, 0, span, nil)
	assert.False(t, k.Over, "no channels")
	k.keep(tracer, 0, span, []int{1})
	assert.True(t, k.Over && k.Whole)
	assert.Equal(t, []uint32{992}, k.Lines[0].Count)
	assert.True(t, k.has(span))
	k.keep(tracer, 0, event.Span{From: span.To, To: span.To.Add(unit.Second)}, []int{1})
	assert.False(t, k.Over, "other evidence")
}

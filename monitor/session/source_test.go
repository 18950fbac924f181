package session

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

// yields is what a source yields until it has nothing more, in words: kinds, each with
// the number that goes with it.
func yields(t *testing.T, s *source) string {
	t.Helper()
	var words []string
	for range 100 {
		var in event.Input
		switch err := s.Next(&in); {
		case errors.Is(err, errPastEnds):
			words = append(words, "past-ends")
		case errors.Is(err, errNothingYet):
			return strings.Join(append(words, "nothing-yet"), " ")
		case errors.Is(err, io.EOF):
			return strings.Join(append(words, "end"), " ")
		default:
			require.NoError(t, err)
			words = append(words, fmt.Sprintf("%v/%d", in.Kind, s.number))
		}
	}
	return "no end"
}

func TestTheSourceYieldsThePastAndThenThePresent(t *testing.T) {
	before := newInMemory(t)
	before.mark("a")
	require.Equal(t, wait{what: forInputs}, rest(t, before.rec.step))

	m := newInMemory(t)
	s := m.judge.source
	s.past, s.number = &recording.SegmentReader{Reader: *recording.NewReader(bytes.NewReader(before.recording.data))}, 7
	assert.Equal(t, "begin/7 mark/7 past-ends begin/0 nothing-yet", yields(t, s))
	assert.True(t, s.betweenBatches())
	assert.Equal(t, "nothing-yet", yields(t, s))
	m.mark("b")
	m.beat()
	var in event.Input
	require.NoError(t, s.Next(&in))
	assert.False(t, s.betweenBatches())
	assert.Equal(t, "beat/2 nothing-yet", yields(t, s))
	m.Seq.Close(event.InputEnd)
	assert.Equal(t, "end/3 end", yields(t, s))
	assert.Equal(t, "end", yields(t, s))
}

// What is no recording does not simply end.
func TestAPastThatCannotBeReadIsAnError(t *testing.T) {
	m := newInMemory(t)
	m.judge.source.past = &recording.SegmentReader{Reader: *recording.NewReader(strings.NewReader("no recording at all, but long enough for one"))}
	m.judge.history = &history{reader: m.judge.source.past}
	require.Equal(t, wait{what: over}, rest(t, m.judge.step))
	require.ErrorIs(t, m.judge.err, recording.ErrNotRecording)
}

package session

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

func (m *inMemory) pendingCauses() (causes []int64) {
	for _, n := range m.writer.queue.pending {
		causes = append(causes, n.cause)
	}
	return causes
}

// Each step judges one input; what comes of it waits for that input.
func TestTheJudgeLoopJudgesOneInputAStep(t *testing.T) {
	m := newInMemory(t)
	m.mark("a")
	m.mark("b")
	for input := range int64(3) { // the first begins the session
		before := len(m.writer.queue.pending)
		require.Equal(t, wait{}, m.judge.step())
		require.Greater(t, len(m.writer.queue.pending), before)
		for _, cause := range m.pendingCauses()[before:] {
			require.Equal(t, input, cause)
		}
	}
	require.Equal(t, wait{what: forInputs}, m.judge.step())
	require.Equal(t, wait{what: forInputs}, m.judge.step(), "and says so again")
	assert.Empty(t, m.shown, "nothing is recorded yet")
	m.Seq.Close(event.InputEnd)
	require.Equal(t, wait{}, m.judge.step())
	require.Equal(t, wait{what: over}, m.judge.step())
	require.Equal(t, wait{what: over}, m.judge.step())
	require.NoError(t, m.judge.err)

	require.Equal(t, wait{what: over}, rest(t, m.rec.step))
	m.writer.queue.finish()
	require.Equal(t, wait{what: over}, rest(t, m.writer.step))
	assert.Equal(t, m.replayed(t), m.journalled())
	assert.Len(t, m.shown, len(m.journalled()))
}

// A checkpoint comes after each so many beats, except in a gap.
func TestTheJudgeLoopKeepsCheckpoints(t *testing.T) {
	m := newInMemory(t)
	states := func() (inputs []int64) {
		for _, n := range m.writer.queue.pending {
			if n.state != nil {
				require.Equal(t, n.cause+1, n.state.Input)
				inputs = append(inputs, n.state.Input)
			}
		}
		return inputs
	}
	for range 5 {
		m.beat()
	}
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.Equal(t, []int64{3, 5}, states(), "behind the beats 2 and 4, which are the inputs 2 and 4")
	assert.Equal(t, 5, m.beats)
	m.rec.beginGap("test")
	m.beat()
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.Equal(t, []int64{3, 5}, states())
	assert.Equal(t, 6, m.beats, "which are judged all the same")
}

// A gap ends once the disk has what it was given, and not while inputs wait.
func TestTheJudgeLoopEndsAGap(t *testing.T) {
	m := newInMemory(t)
	m.recording.refuses = 1
	m.mark("a")
	w := m.rec.step()
	require.Equal(t, forDisk, w.what)
	m.mark("in the gap")
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.True(t, m.Seq.RecorderOff(), "the disk does not answer yet")
	m.watchdog()
	assert.Equal(t, []string{"session.began", "mark", "recording.gap", "mark"}, ofKinds(m.shownKinds(), "session.began", "mark", "recording.gap"))

	m.now = w.until
	require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
	require.Equal(t, wait{what: forInputs}, m.judge.step())
	assert.True(t, m.Seq.RecorderOff(), "that is seen behind the next input")
	m.mark("the last in the gap")
	require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
	assert.False(t, m.Seq.RecorderOff())
	m.mark("b")
	m.Seq.Close(event.InputEnd)
	for _, step := range []func() wait{m.judge.step, m.rec.step} {
		require.Equal(t, wait{what: over}, rest(t, step))
	}
	m.writer.queue.finish()
	require.Equal(t, wait{what: over}, rest(t, m.writer.step))
	assert.Equal(t, []string{"begin", "mark", "recording-gap", "recording-gap", "mark", "end"}, m.recorded(t))
	m.requireSameOutsideGaps(t)
}

// A gap that is over, or that the session ends in, before a beat sees it: what came in it
// is shown and journalled all the same, once.
func TestAGapShorterThanABeat(t *testing.T) {
	for name, isOver := range map[string]bool{"is over": true, "goes on to the end": false} {
		t.Run(name, func(t *testing.T) {
			m := newInMemory(t)
			m.recording.refuses = -1
			require.Equal(t, forDisk, m.rec.step().what)
			require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
			m.mark("in the gap")
			if isOver {
				m.recording.refuses = 0
				m.now += second
				require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
				require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
				require.False(t, m.Seq.RecorderOff())
				require.Equal(t, wait{what: forRecord, input: 2}, rest(t, m.writer.step), "the end of the gap")
				assert.Contains(t, m.shownKinds(), "mark")
			}
			m.Seq.Close(event.InputEnd)
			m.rec.close()
			require.Equal(t, wait{what: over}, rest(t, m.judge.step))
			require.Equal(t, wait{what: over}, rest(t, m.rec.step))
			m.finishWriting()
			require.Equal(t, wait{what: over}, rest(t, m.writer.step))
			assert.Zero(t, m.writer.unwritten())
			assert.Len(t, ofKinds(m.shownKinds(), "mark", "session.ended"), 2)
			assert.Len(t, m.shown, len(m.journalled()))
		})
	}
}

func ofKinds(kinds []string, wanted ...string) []string {
	return slices.DeleteFunc(slices.Clone(kinds), func(k string) bool { return !slices.Contains(wanted, k) })
}

// A resumed session judges its past without a word, and then what is heard now.
func TestTheJudgeLoopGoesOverFromThePast(t *testing.T) {
	for name, c := range map[string]struct {
		differs int64
		asides  int
	}{"the same": {}, "another judgement": {differs: 1, asides: 1}} {
		t.Run(name, func(t *testing.T) {
			before := newInMemory(t)
			before.beat()
			before.mark("a")
			require.Equal(t, wait{what: forInputs}, rest(t, before.rec.step))

			m := newInMemory(t)
			m.judge.source.past = &recording.SegmentReader{Reader: *recording.NewReader(bytes.NewReader(before.recording.data))}
			m.judge.history = &history{
				reader: m.judge.source.past, known: map[int64]string{}, journalled: 1000, differs: c.differs,
			}
			picture := m.pub.latest.Load()
			for range 3 {
				require.Equal(t, wait{}, m.judge.step())
				assert.Empty(t, m.writer.queue.pending, "the journal has it")
				assert.Same(t, picture, m.pub.latest.Load())
				assert.Zero(t, m.beats)
			}
			require.Equal(t, wait{}, m.judge.step())
			assert.Len(t, m.writer.queue.pending, c.asides)
			assert.NotSame(t, picture, m.pub.latest.Load())
			require.Equal(t, wait{what: forInputs}, rest(t, m.judge.step))
			assert.Greater(t, len(m.writer.queue.pending), c.asides, "session.began again, and it is news")
		})
	}
}

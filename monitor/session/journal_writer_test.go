package session

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// causes gives the journal writer an event for each of some inputs.
func (m *inMemory) causes(t *testing.T, inputs ...int64) {
	t.Helper()
	for _, n := range inputs {
		e := event.Event{Seq: n + 1, Kind: event.Mark, About: "session"}
		line, err := timeline.Line(nil, &e, wallOfTests)
		require.NoError(t, err)
		m.writer.queue.add(pendingEvent{cause: n, event: Shown{Event: e, Wall: wallOfTests, Line: line}})
	}
}

func (m *inMemory) shownNumbers() (seqs []int64) {
	for _, e := range m.shown {
		seqs = append(seqs, e.Event.Seq)
	}
	return seqs
}

func (m *inMemory) journalNumbers(t *testing.T) (seqs []int64) {
	t.Helper()
	for _, line := range m.journalled() {
		e, err := timeline.Parse([]byte(line[:len(line)-1]))
		require.NoError(t, err)
		seqs = append(seqs, e.Seq)
	}
	return seqs
}

func TestTheJournalWriterWaitsForTheCause(t *testing.T) {
	m := newInMemory(t)
	require.Equal(t, wait{what: forEvents}, m.writer.step())
	m.causes(t, 0, 1, 4)
	require.Equal(t, wait{what: forRecord, input: 0}, m.writer.step())
	m.rec.written.Store(2)
	m.writer.queue.recorded()
	assert.Empty(t, m.shown, "that takes a step")
	require.Equal(t, wait{}, m.writer.step())
	assert.Equal(t, []int64{1, 2}, m.shownNumbers())
	require.Equal(t, wait{}, m.writer.step())
	assert.Equal(t, []int64{1, 2}, m.journalNumbers(t))
	require.Equal(t, wait{what: forRecord, input: 4}, m.writer.step())
	assert.Equal(t, 1, m.writer.queue.waiting())
	m.writer.queue.finish()
	require.Equal(t, wait{what: over}, rest(t, m.writer.step))
	assert.Equal(t, 1, m.writer.unwritten(), "its cause was never recorded")
	assert.Equal(t, []int64{1, 2}, m.shownNumbers())
}

// In a gap nothing is recorded: events are shown at once and written when they can be.
func TestInAGapTheJournalWriterWaitsForNothing(t *testing.T) {
	m := newInMemory(t)
	m.causes(t, 3)
	m.writer.queue.showAtOnce()
	assert.Equal(t, []int64{4}, m.shownNumbers())
	m.causes(t, 4)
	assert.Equal(t, []int64{4, 5}, m.shownNumbers())
	require.Equal(t, wait{what: forRecord, input: 3}, rest(t, m.writer.step))
	m.writer.queue.waitForRecording(3)
	m.causes(t, 5)
	require.Equal(t, wait{what: forRecord, input: 5}, rest(t, m.writer.step))
	assert.Equal(t, []int64{4, 5}, m.journalNumbers(t))
	assert.Equal(t, []int64{4, 5}, m.shownNumbers(), "each once")
	m.writer.queue.showAtOnce()
	m.writer.queue.finish()
	require.Equal(t, wait{what: over}, rest(t, m.writer.step))
	assert.Equal(t, []int64{4, 5, 6}, m.journalNumbers(t))
	assert.Equal(t, []int64{4, 5, 6}, m.shownNumbers())
}

// A gap may end before it is known that it began: then nothing was shown at once. Who put something in
// before it is answered when that is on the disk, and who did in it, that it is not recorded.
func TestWhoIsAnsweredBehindAGap(t *testing.T) {
	m := newInMemory(t)
	var answers []string
	m.pub.subscribers = append(m.pub.subscribers, Subscriber{
		AllShown: func(input int64, recorded bool) { answers = append(answers, fmt.Sprint(input, recorded)) },
	})
	for _, cause := range []int64{3, 4} { // the gap is from 4 on
		m.causes(t, cause)
		m.writer.queue.add(pendingEvent{cause: cause, event: Shown{Input: cause}, last: true})
	}
	m.writer.queue.waitForRecording(4)
	assert.Equal(t, []int64{4, 5}, m.shownNumbers())
	assert.Equal(t, []string{"4 false"}, answers)
	rest(t, m.writer.step)
	assert.Equal(t, []int64{4, 5}, m.journalNumbers(t))
	assert.Equal(t, []string{"4 false", "3 true"}, answers)
}

// What a disk may do to the journal, step by step.
func TestTheJournalWriterOnDisksOfEverySort(t *testing.T) {
	for name, c := range map[string]struct {
		refuses, takes int
		stalls         bool
		tries          int // of the disk, a second apart, until the journal writer is told to end
		journal        []int64
		said           int
		lost           int
	}{
		"takes all":             {journal: []int64{1, 2, 3}},
		"stalls for three":      {stalls: true, journal: []int64{1, 2, 3}, said: 1},
		"refuses once":          {refuses: 1, tries: 1, journal: []int64{1, 2, 3}, said: 1},
		"refuses after a part":  {refuses: 2, takes: 40, tries: 2, journal: []int64{1, 2, 3}, said: 2},
		"refuses until the end": {refuses: 4, takes: 7, tries: 3, journal: []int64{1, 2, 3}, said: 4},
		"refuses for good":      {refuses: -1, takes: 7, tries: 3, said: 5, lost: 3},
	} {
		t.Run(name, func(t *testing.T) {
			m := newInMemory(t)
			m.journal.refuses, m.journal.takes = c.refuses, c.takes
			if c.stalls {
				m.journal.stalls = func() {
					m.now += 3 * second
					m.watchdog()
					m.causes(t, 2)
					assert.Equal(t, []int64{1, 2, 3}, m.shownNumbers(), "the disk hangs, and that is shown")
				}
			}
			m.rec.written.Store(2)
			m.causes(t, 0, 1)
			require.Equal(t, wait{}, m.writer.step())
			assert.Equal(t, []int64{1, 2}, m.shownNumbers(), "whatever the disk does")
			w := m.writer.step()
			for range c.tries {
				require.Equal(t, wait{what: forDisk, until: m.now + second}, w)
				calls := m.journal.calls
				m.now = w.until - 1
				require.Equal(t, w, m.writer.step(), "too early")
				require.Equal(t, calls, m.journal.calls)
				m.now = w.until
				w = m.writer.step()
			}
			if !c.stalls {
				m.causes(t, 2)
				m.rec.written.Store(3)
			}
			m.writer.queue.finish()
			require.Equal(t, wait{what: over}, rest(t, m.writer.step), "at once, without a wait for the disk")
			assert.Equal(t, c.journal, m.journalNumbers(t))
			assert.Equal(t, []int64{1, 2, 3}, m.shownNumbers())
			assert.Len(t, m.said, c.said, "%v", m.said)
			assert.Equal(t, c.lost, m.writer.unwritten())
		})
	}
}

// A checkpoint is of use only with its place in the recording, with a judge that can be
// known again, and where the journal has what lies before it.
func TestWhichCheckpointsAreWritten(t *testing.T) {
	for name, c := range map[string]struct {
		input   int64
		judge   string
		refuses bool // the disk refuses the journal, to the end
		written int
	}{
		"behind a beat":        {input: 2, judge: judgeOfTests, written: 1},
		"of no known place":    {input: 1, judge: judgeOfTests},
		"of an unknown judge":  {input: 2, judge: ""},
		"behind lost events":   {input: 2, judge: judgeOfTests, refuses: true},
		"not recorded in time": {input: 3, judge: judgeOfTests},
		"of another judge":     {input: 2, judge: "another", written: 1},
	} {
		t.Run(name, func(t *testing.T) {
			m := newInMemory(t)
			m.writer.of.judge = func() string { return c.judge }
			m.beat()
			require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
			m.causes(t, 0)
			m.writer.queue.add(pendingEvent{cause: c.input - 1, state: &recording.Checkpoint{Input: c.input, Engine: []byte("{}")}})
			if c.refuses {
				m.journal.refuses = -1
			}
			m.writer.queue.finish()
			require.Equal(t, wait{what: over}, rest(t, m.writer.step))
			require.Len(t, linesIn(m.checkpoints.data), c.written)
			if c.written == 0 {
				return
			}
			line, err := crclog.Check(m.checkpoints.data[:len(m.checkpoints.data)-1])
			require.NoError(t, err)
			assert.Contains(t, string(line), fmt.Sprintf("%q", c.judge))
			assert.Contains(t, string(line), m.writer.of.session)
		})
	}
}

// What goes beside the journal follows the lines that were taken with it, also where
// those are given up.
func TestWhatGoesBesideTheJournalIsWritten(t *testing.T) {
	for _, refuses := range []int{0, -1} {
		m := newInMemory(t)
		m.journal.refuses = refuses
		var order []int
		m.writer.queue.add(pendingEvent{cause: noCause, aside: func() { order = append(order, len(m.journalled())) }})
		m.rec.written.Store(1)
		m.causes(t, 0)
		m.writer.queue.finish()
		require.Equal(t, wait{what: over}, rest(t, m.writer.step))
		assert.Equal(t, []int{1 + refuses}, order)
	}
}

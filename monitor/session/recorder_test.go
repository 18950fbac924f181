package session

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
)

// What a disk may do to the recorder, step by step. The judge does not step here, so a
// gap has no end.
func TestTheRecorderOnDisksOfEverySort(t *testing.T) {
	for name, c := range map[string]struct {
		refuses, takes int
		stalls         bool
		tries          int // of the disk, a second apart, until the recorder is told to end
		first          waitsFor
		recorded       string
		said           int
		off            bool // there is a gap
	}{
		"takes all":              {first: forNothing, recorded: "begin beat mark end"},
		"stalls for three":       {first: forNothing, stalls: true, recorded: "begin beat recording-gap", said: 1, off: true},
		"refuses once":           {refuses: 1, tries: 1, first: forDisk, recorded: "begin beat recording-gap", said: 1, off: true},
		"refuses after a part":   {refuses: 1, takes: 7, tries: 1, first: forDisk, recorded: "begin beat recording-gap", said: 1, off: true},
		"refuses after an input": {refuses: 1, takes: 900, tries: 1, first: forDisk, recorded: "begin beat recording-gap", said: 1, off: true},
		"refuses thrice":         {refuses: 3, takes: 1, tries: 3, first: forDisk, recorded: "begin beat recording-gap", said: 3, off: true},
		"refuses until the end":  {refuses: 4, takes: 7, tries: 3, first: forDisk, recorded: "begin beat recording-gap", said: 4, off: true},
		"refuses for good":       {refuses: -1, tries: 3, first: forDisk, recorded: "", said: 5, off: true},
	} {
		t.Run(name, func(t *testing.T) {
			m := newInMemory(t)
			m.recording.refuses, m.recording.takes = c.refuses, c.takes
			if c.stalls {
				m.recording.stalls = func() {
					m.now += 3 * second
					m.watchdog()
				}
			}
			m.beat()
			w := m.rec.step()
			require.Equal(t, c.first, w.what)
			for range c.tries {
				w = waitsASecond(t, m, w)
			}
			if c.stalls || c.refuses == 0 || c.refuses == c.tries {
				require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
				assert.Equal(t, wait{what: forInputs}, m.rec.step(), "and says so again")
			}
			m.mark("lost in a gap")
			if !c.off {
				require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
			}
			m.Seq.Close(event.InputEnd)
			m.rec.close()
			require.Equal(t, wait{what: over}, rest(t, m.rec.step), "at once, without a wait for the disk")
			assert.Equal(t, c.recorded, strings.Join(m.recorded(t), " "))
			assert.Equal(t, int64(len(m.recorded(t))), m.rec.written.Load())
			assert.Len(t, m.said, c.said, "%v", m.said)
			assert.Equal(t, c.off, m.Seq.RecorderOff())
		})
	}
}

// waitsASecond has the disk asked again, when it is time and not before.
func waitsASecond(t *testing.T, m *inMemory, w wait) wait {
	t.Helper()
	require.Equal(t, wait{what: forDisk, until: m.now + second}, w)
	calls := m.recording.calls
	m.now = w.until - 1
	require.Equal(t, w, m.rec.step(), "too early")
	require.Equal(t, calls, m.recording.calls)
	m.now = w.until
	w = m.rec.step()
	require.Greater(t, m.recording.calls, calls)
	return w
}

// A checkpoint may be of a place behind one of the latest beats, and of no other.
func TestTheRecorderKnowsThePlacesOfTheLatestBeats(t *testing.T) {
	m := newInMemory(t)
	for range keepMarks + 1 { // input 0 begins, beat n is input n
		m.beat()
	}
	require.Equal(t, wait{what: forInputs}, rest(t, m.rec.step))
	for input, known := range map[int64]bool{0: false, 1: false, 2: false, 3: true, keepMarks + 2: true, keepMarks + 3: false} {
		_, ok := m.rec.place(input)
		assert.Equal(t, known, ok, "before input %d", input)
	}
}

package session

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
)

// memoryFile is a file on a disk with faults, in memory.
type memoryFile struct {
	files.File // what nobody asks for here

	data    []byte
	refuses int    // so many writes to come; -1: all
	takes   int    // bytes that it takes of a write that it refuses
	stalls  func() // what happens while it hangs in the next write; nil: it does not
	calls   int
}

var errFull = errors.New("no room")

func (f *memoryFile) WriteAt(p []byte, off int64) (int, error) {
	f.calls++
	if hang := f.stalls; hang != nil {
		f.stalls = nil
		hang()
	}
	if f.refuses == 0 {
		f.data = append(f.data[:off], p...)
		return len(p), nil
	}
	f.refuses = max(-1, f.refuses-1)
	n := min(f.takes, len(p))
	f.data = append(f.data[:off], p[:n]...)
	return n, errFull
}

func (f *memoryFile) Truncate(size int64) error {
	f.calls++
	f.data = f.data[:size]
	return nil
}

func (f *memoryFile) Size() (int64, error) { return int64(len(f.data)), nil }

func (*memoryFile) Sync() error  { return nil }
func (*memoryFile) Close() error { return nil }

// memoryFolder has the recording, and a disk for what else is written.
type memoryFolder struct {
	*filestest.Disk
	recording *memoryFile
}

func (f memoryFolder) Edit(name string) (files.File, error) {
	if name == RecordingFile {
		return f.recording, nil
	}
	return f.Disk.Edit(name)
}

// inMemory is a session without folder, goroutine or real clock: what happens in it is
// the steps that a test does.
type inMemory struct {
	*Live
	now                             int64 // ns
	recording, journal, checkpoints memoryFile
	shown                           []Shown
	said                            []string
	beats                           int
	onShown                         func(Shown)
}

const (
	wallOfTests  = 1_700_000_000_000_000_000
	judgeOfTests = "0123456789abcdef"
	second       = int64(1e9)
)

var readStarter = sync.OnceValues(func() (*sheet.Sheet, error) { return sheet.Read("starter", sheet.Starter()) })

func starter(t *testing.T) *sheet.Sheet {
	t.Helper()
	s, err := readStarter()
	require.NoError(t, err)
	return s
}

func newInMemory(t *testing.T) *inMemory {
	t.Helper()
	m := &inMemory{}
	m.Live = &Live{opt: Options{
		Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Build: "test", Every: 2,
		Clock: func() int64 { return m.now }, Judge: func() string { return judgeOfTests }, NewIdentity: func() string { return judgeOfTests + judgeOfTests },
	}}
	m.files.mu = new(sync.Mutex)
	m.files.folder = memoryFolder{filestest.New(), &m.recording}
	m.files.journal = timeline.New(crclog.NewLog(&m.journal, 0), 0)
	m.files.checkpoints = &checkpointFile{in: m.files.folder, most: 1000, log: crclog.NewLog(&m.checkpoints, 0)}
	b, err := newBeginning(&m.opt, wallOfTests)
	require.NoError(t, err)
	require.NoError(t, m.assemble(starter(t), b))
	t.Cleanup(func() { m.Seq.Close(0) })
	m.Subscribe(Subscriber{
		Shown: func(e Shown) {
			m.shown = append(m.shown, e)
			if m.onShown != nil {
				m.onShown(e)
			}
		},
		Trouble: func(err error) { m.said = append(m.said, err.Error()) },
	})
	m.Subscribe(Subscriber{Judged: func() { m.beats++ }})
	return m
}

func (m *inMemory) beat() {
	m.Seq.Put(event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wallOfTests+m.now)))
}

func (m *inMemory) mark(text string) { m.Seq.Put(event.BenchTap, event.InputMark, []byte(text)) }

// rest does steps until they wait for something.
func rest(t *testing.T, step func() wait) wait {
	t.Helper()
	for range 1000 {
		if w := step(); w.what != forNothing {
			return w
		}
	}
	t.Fatal("it never comes to rest")
	return wait{}
}

// recorded are the words of the inputs that the recording holds.
func (m *inMemory) recorded(t *testing.T) (kinds []string) {
	t.Helper()
	r, in := recording.NewReader(bytes.NewReader(m.recording.data)), event.Input{}
	for {
		err := r.Next(&in)
		if errors.Is(err, io.EOF) || len(m.recording.data) == 0 {
			_, torn := r.Tail()
			assert.False(t, torn && m.recording.refuses == 0)
			assert.Empty(t, r.Damages())
			return kinds
		}
		require.NoError(t, err)
		kinds = append(kinds, in.Kind.String())
	}
}

// journalled are the lines of the journal, replayed those that the recording gives.
func (m *inMemory) journalled() []string { return linesIn(m.journal.data) }

func (m *inMemory) replayed(t *testing.T) []string {
	lines, _ := m.replayedFrom(t)
	return lines
}

// replayedFrom also says how many bytes of the recording give each line.
func (m *inMemory) replayedFrom(t *testing.T) (lines []string, ends []int64) {
	t.Helper()
	e := engine.New(starter(t), func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		require.NoError(t, err)
		lines = append(lines, string(line))
	})
	r, in := recording.NewReader(bytes.NewReader(m.recording.data)), event.Input{}
	for {
		err := e.StepFrom(r, &in)
		if errors.Is(err, io.EOF) {
			return lines, ends
		}
		require.NoError(t, err)
		for len(ends) < len(lines) {
			ends = append(ends, r.Position().Offset)
		}
	}
}

func linesIn(text []byte) (lines []string) {
	for line := range bytes.Lines(text) {
		lines = append(lines, string(line))
	}
	return lines
}

func (m *inMemory) shownKinds() (kinds []string) {
	for _, e := range m.shown {
		kinds = append(kinds, e.Event.Kind)
	}
	return kinds
}

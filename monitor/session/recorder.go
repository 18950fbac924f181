package session

import (
	"encoding/json"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
)

// recorder writes every input, as it comes, to the recording. A disk that
// refuses is asked again each second, and until it gives in the sequencer keeps
// the rest of the inputs from the recording, which says so.
type recorder struct {
	seq     *port.Sequencer
	clock   func() int64
	file    File
	w       *recording.Writer
	section int64 // where the section begins in the file
	trouble func(error)
	wrote   func() // called after each write that succeeded

	busy    busy
	written atomic.Int64 // number of the input after the last one written
	closing chan struct{}

	mu    sync.Mutex
	marks []recording.Position // after the latest beats, oldest first
}

// keepMarks is how many places are remembered for checkpoints: the judge may be
// a number of beats behind.
const keepMarks = 600

func newRecorder(seq *port.Sequencer, clock func() int64, file File, size int64, s recording.Section) (*recorder, error) {
	w, err := recording.NewWriter(file, s)
	if err != nil {
		return nil, err
	}
	r := &recorder{seq: seq, clock: clock, file: file, w: w, section: size, closing: make(chan struct{})}
	r.written.Store(s.First)
	return r, nil
}

// run records until the sequencer is closed and all is taken.
func (r *recorder) run() {
	for b := r.seq.Take(port.Recorder); b != nil; b = r.seq.Take(port.Recorder) {
		for i := range b.Len() {
			in := b.Input(i)
			if err := r.w.Write(&in); err != nil {
				r.refused(&in, err)
				continue
			}
			if in.Kind == event.Beat {
				r.mark()
			}
		}
		if !r.flush() {
			return
		}
		r.written.Store(r.w.GoodInputs())
		r.wrote()
	}
}

// refused is for an input that the recording can't hold. That is a fault of
// ours; the next number would not fit either, so recording stops here.
func (r *recorder) refused(in *event.Input, err error) {
	r.trouble(fmt.Errorf("recording stopped, watching goes on: %w", err))
	r.deafen(fmt.Sprintf("an input of kind %v could not be recorded", in.Kind))
}

// flush writes what is held, for as long as it takes. false: closing, and the
// disk still refuses.
func (r *recorder) flush() bool {
	err := r.busy.during(r.clock, r.w.Flush)
	for last := false; err != nil; err = r.busy.during(r.clock, r.mend) {
		r.deafen("the disk refused: " + err.Error())
		r.trouble(fmt.Errorf("recording has stopped, watching goes on; it is tried again each second: %w", err))
		if last {
			return false
		}
		select {
		case <-r.closing:
			last = true
		case <-time.After(retryAfter):
		}
	}
	return true
}

// mend cuts off what a full disk took of a block, which must not stay in the
// middle, and writes again.
func (r *recorder) mend() error {
	if err := r.file.Truncate(r.section + r.w.Good()); err != nil {
		return err
	}
	return r.w.Flush()
}

func (r *recorder) deafen(why string) {
	data, _ := json.Marshal(event.Gap{Why: why})
	r.seq.StopRecorder(event.RecordingGap, data)
}

func (r *recorder) mark() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.marks) == keepMarks {
		r.marks = append(r.marks[:0], r.marks[1:]...)
	}
	r.marks = append(r.marks, r.w.Mark(r.section))
}

// place finds the place in the file after which the given input comes next.
func (r *recorder) place(input int64) (recording.Position, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i := len(r.marks) - 1; i >= 0; i-- {
		if r.marks[i].Input == input {
			return r.marks[i], true
		}
	}
	return recording.Position{}, false
}

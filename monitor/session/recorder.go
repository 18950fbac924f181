package session

import (
	"cmp"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// recorder writes every input, as it comes, to the recording. A disk that
// refuses is asked again each second, and until it gives in the sequencer keeps
// the rest of the inputs from the recording, which says so.
type recorder struct {
	seq     *port.Sequencer
	clock   func() int64
	files   *openFiles
	w       *recording.Writer
	section int64         // where the section begins in the segment
	length  unit.Duration // of a segment
	began   unit.Time     // the date of the latest input when the segment was begun
	trouble func(error)   // gets what the disk refuses
	wrote   func()        // called after each write that succeeded
	bell    bell          // rung when it is to end

	budget      budget
	busy        busy
	written     atomic.Int64 // number of the input after the last one written
	date        atomic.Int64 // of the last one written, unit.Time
	newest      atomic.Int64 // number of the first input of the open segment, 0 where this run did not begin it
	closing     atomic.Bool  // no input comes any more: a disk that refuses is asked once more
	whereabouts whereabouts  // of the files
	refused     bool         // the disk did; what it did not take is held
	nextTry     int64        // when it is asked again, clock ns

	mu    sync.Mutex
	marks []recording.Position // after the latest beats, oldest first
}

// keepMarks is how many places are remembered for checkpoints: the judge may be
// a number of beats behind.
const keepMarks = 600

func newRecorder(seq *port.Sequencer, opt *Options, f *openFiles, s recording.Section) (*recorder, error) {
	w, err := recording.NewWriter(f.recording, s)
	if err != nil {
		return nil, err
	}
	r := &recorder{seq: seq, clock: opt.Clock, length: cmp.Or(opt.Segment, segmentFor), files: f, w: w, section: f.recording.End(), began: s.Last, bell: newBell()}
	r.budget.most = opt.Room
	r.written.Store(s.First)
	r.date.Store(int64(s.Last))
	return r, nil
}

// step records one batch or, where the disk refused, asks it again.
func (r *recorder) step() wait {
	if r.refused {
		return r.tryAgain()
	}
	b, ended := r.seq.Take(port.Recorder)
	switch {
	case ended:
		return wait{what: over}
	case b == nil:
		return wait{what: forInputs}
	}
	r.render(b)
	w := r.flushed(r.busy.during(r.clock, r.put), false)
	if r.segmentIsFull() && !r.refused {
		r.nextSegment()
	}
	return w
}

// render lays a batch ready for the disk.
func (r *recorder) render(b *port.Batch) {
	for i := range b.Len() {
		in := b.Input(i)
		if err := r.w.Write(&in); err != nil {
			r.unfit(&in, err)
			continue
		}
		if in.Kind == event.InputBeat {
			r.mark()
		}
	}
}

// unfit is for an input that the recording can't hold. That is a fault of
// ours; the next number would not fit either, so recording stops here.
func (r *recorder) unfit(in *event.Input, err error) {
	r.trouble(fmt.Errorf("recording stopped, watching goes on: %w", err))
	r.beginGap(fmt.Sprintf("an input of kind %v could not be recorded", in.Kind))
}

// flushed follows an answer of the disk. last: it is not asked again.
func (r *recorder) flushed(err error, last bool) wait {
	if err == nil {
		r.refused = false
		r.written.Store(r.w.GoodInputs())
		r.date.Store(int64(r.w.Last()))
		r.wrote()
		return wait{}
	}
	r.beginGap(whyNotWritten(err))
	r.trouble(fmt.Errorf("recording has stopped, watching goes on; it is tried again each second: %w", err))
	if last {
		return wait{what: over}
	}
	r.refused, r.nextTry = true, r.clock()+int64(retryAfter)
	if r.closing.Load() {
		return wait{}
	}
	return wait{what: forDisk, until: r.nextTry}
}

// whyNotWritten says why the recording stops.
func whyNotWritten(err error) string {
	if used := (usedUpError{}); errors.As(err, &used) {
		return used.Error()
	}
	return "the disk refused: " + err.Error()
}

// untilTheEnd says why nothing was recorded any more. It is for the time when the recorder is over.
func (r *recorder) untilTheEnd() string {
	if r.budget.usedUp {
		return usedUpError{r.budget.most}.Error()
	}
	return "the disk refused until the end"
}

// tryAgain asks a disk that refused again, once it is time to.
func (r *recorder) tryAgain() wait {
	last := r.closing.Load()
	if !last && r.clock() < r.nextTry {
		return wait{what: forDisk, until: r.nextTry}
	}
	return r.flushed(r.busy.during(r.clock, r.mend), last)
}

// mend cuts off what a full disk took of a block, which must not stay in the
// middle, and writes again.
func (r *recorder) mend() error {
	if err := r.files.recording.Truncate(r.section + r.w.Good()); err != nil {
		return err
	}
	return r.put()
}

// put writes what lies ready, as long as there is room that it may take.
func (r *recorder) put() error {
	if err := r.budget.check(r.files.folder, r.files.recording.End(), r.clock()); err != nil {
		return err
	}
	return r.w.Flush()
}

// recorded is the date of the last input that was written. Any goroutine may ask.
func (r *recorder) recorded() unit.Time { return unit.Time(r.date.Load()) }

// beginGap begins a recording gap, unless there is one.
func (r *recorder) beginGap(why string) {
	r.seq.StopRecorder(event.InputRecordingGap, gapBegin(why))
}

// close has the recorder end once all is taken; the sequencer is closed.
func (r *recorder) close() {
	r.closing.Store(true)
	r.bell.ring()
}

func (r *recorder) mark() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.marks) == keepMarks {
		r.marks = append(r.marks[:0], r.marks[1:]...)
	}
	r.marks = append(r.marks, r.w.Position(r.section))
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

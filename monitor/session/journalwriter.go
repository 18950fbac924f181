package session

import (
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// Shown is an event as it is shown: once what caused it is recorded.
type Shown struct {
	Event event.Event
	Wall  int64  // Unix ns of Event.At
	Line  []byte // as in the journal
}

// journalWriter writes events to the journal and shows them, in order, but never before
// the inputs that caused them are recorded. If the disk hangs, events are shown
// all the same and wait to be written.
type journalWriter struct {
	clock       func() int64
	journal     *timeline.Journal
	checkpoints *crclog.Log
	rec         *recorder
	trouble     func(error)
	show        func(Shown) // must not block
	session     string      // Identity of the recording
	judge       func() string

	busy busy

	mu      sync.Mutex
	changed sync.Cond
	pending []pendingEvent
	ahead   bool // show at once, without waiting for the recording
	done    bool // nothing more will be added
}

// noCause is the cause of what waits for no input.
const noCause = -1

// pendingEvent is what waits for its cause to be recorded.
type pendingEvent struct {
	cause int64 // number of the input
	event Shown // with a Line, or
	state *recording.Checkpoint
	aside func() // or: writes something beside the journal
	shown bool
}

func (n *pendingEvent) isEvent() bool { return n.state == nil && n.aside == nil }

func newJournalWriter(clock func() int64) *journalWriter {
	s := &journalWriter{clock: clock}
	s.changed.L = &s.mu
	return s
}

func (s *journalWriter) add(n pendingEvent) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ahead && n.isEvent() {
		s.show(n.event)
		n.shown = true
	}
	s.pending = append(s.pending, n)
	s.changed.Broadcast()
}

// waiting is how many events wait to be written.
func (s *journalWriter) waiting() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range s.pending {
		if s.pending[i].isEvent() {
			n++
		}
	}
	return n
}

// wake looks again at what may be written.
func (s *journalWriter) wake() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.changed.Broadcast()
}

// showAtOnce shows all there is, and from now on everything at once.
func (s *journalWriter) showAtOnce() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ahead = true
	s.showAll(s.pending)
}

// waitForRecording waits for the recording again. What came in the gap has no cause in
// the recording that it could wait for.
func (s *journalWriter) waitForRecording() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.release()
	s.ahead = false
}

func (s *journalWriter) release() {
	if !s.ahead {
		return
	}
	for i := range s.pending {
		s.pending[i].cause = noCause
	}
	s.changed.Broadcast()
}

func (s *journalWriter) showAll(notes []pendingEvent) {
	for i := range notes {
		if n := &notes[i]; !n.shown && n.isEvent() {
			s.show(n.event)
			n.shown = true
		}
	}
}

// finish lets run end once all is written that can be.
func (s *journalWriter) finish() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.done = true
	s.release()
	s.changed.Broadcast()
}

// run writes until finish.
func (s *journalWriter) run() {
	for {
		ready, last := s.take()
		if len(ready) == 0 && last {
			return
		}
		s.writeEvents(ready, last)
		s.writeStates(ready)
		for _, n := range ready {
			if n.aside != nil {
				_ = s.busy.during(s.clock, func() error { n.aside(); return nil })
			}
		}
	}
}

// take waits for notes whose causes are recorded. last: it is the end, and what
// is taken is all that ever can be.
func (s *journalWriter) take() (ready []pendingEvent, last bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for {
		written, n := s.rec.written.Load(), 0
		for n < len(s.pending) && s.pending[n].cause < written {
			n++
		}
		if n > 0 || s.done {
			ready = append(ready, s.pending[:n]...)
			s.pending = append(s.pending[:0], s.pending[n:]...)
			s.showAll(ready)
			return ready, s.done
		}
		s.changed.Wait()
	}
}

// writeEvents appends the lines, for as long as it takes, unless it is the end.
func (s *journalWriter) writeEvents(ready []pendingEvent, last bool) {
	var lines []byte
	for _, n := range ready {
		lines = append(lines, n.event.Line...)
	}
	for {
		err := s.busy.during(s.clock, func() error { return s.journal.Append(lines) })
		if err == nil {
			return
		}
		s.trouble(fmt.Errorf("the timeline can't be written, watching goes on: %w", err))
		if last || s.ended() {
			return
		}
		time.Sleep(retryAfter)
	}
}

func (s *journalWriter) ended() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.done
}

func (s *journalWriter) writeStates(ready []pendingEvent) {
	for _, n := range ready {
		if n.state == nil || s.judge() == "" { // of use to nobody
			continue
		}
		place, ok := s.rec.place(n.state.Input)
		if !ok {
			continue // the judge is minutes behind; another checkpoint will come
		}
		n.state.Session, n.state.Judge, n.state.Position = s.session, s.judge(), place
		line, err := recording.AppendCheckpoint(nil, n.state)
		if err == nil {
			err = s.busy.during(s.clock, func() error { return s.checkpoints.Append(line) })
		}
		if err != nil {
			s.trouble(fmt.Errorf("a checkpoint can't be written; resuming will take longer: %w", err))
		}
	}
}

// gapEnd is the data of the input that ends a recording gap.
func gapEnd(inputs, seq int64) []byte {
	data, _ := json.Marshal(event.Gap{Ended: true, Why: "the disk answers again", Inputs: inputs, Seq: seq + 1})
	return data
}

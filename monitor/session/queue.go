package session

import (
	"sync"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

// Shown is an event as it is shown: once what caused it is recorded.
type Shown struct {
	Event event.Event
	Wall  int64  // Unix ns of Event.At
	Line  []byte // as in the journal
	Input int64  // number of the input that caused it
}

// pendingEvent is what waits for its cause to be recorded.
type pendingEvent struct {
	cause int64 // number of the input
	event Shown // with a Line, or
	state *recording.Checkpoint
	aside func() // or: writes something beside the journal
	last  bool   // or: nothing more comes of event.Input
	shown bool
}

// noCause is the cause of what waits for no input.
const noCause = -1

func (n *pendingEvent) isEvent() bool { return n.state == nil && n.aside == nil && !n.last }

// queue holds events, in order, until their causes are recorded, and shows them then.
// In a recording gap it shows them at once: their causes are never recorded.
type queue struct {
	pub  *publisher
	bell bell // rung when there may be something to take

	mu      sync.Mutex
	pending []pendingEvent
	ahead   bool // show at once, without waiting for the recording
	done    bool // nothing more will be added
}

// add takes what waits for its cause.
func (q *queue) add(n pendingEvent) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.ahead {
		q.show(&n)
	}
	q.pending = append(q.pending, n)
	q.bell.ring()
}

// take takes what may be written, and shows it; written is the number of the input after
// the last one recorded. Where there is nothing, w is what comes first.
func (q *queue) take(written int64) (ready []pendingEvent, w wait) {
	q.mu.Lock()
	defer q.mu.Unlock()
	n := 0
	for n < len(q.pending) && q.pending[n].cause < written {
		n++
	}
	switch {
	case n > 0:
		q.showAll(q.pending[:n])
		ready = append(ready, q.pending[:n]...)
		q.pending = append(q.pending[:0], q.pending[n:]...)
		return ready, wait{}
	case q.done:
		return nil, wait{what: over}
	case len(q.pending) > 0:
		return nil, wait{what: forRecord, input: q.pending[0].cause}
	}
	return nil, wait{what: forEvents}
}

// recorded follows each write to the recording.
func (q *queue) recorded() {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.pending) > 0 {
		q.bell.ring()
	}
}

// waiting is how many events wait for their causes.
func (q *queue) waiting() (n int) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for i := range q.pending {
		if q.pending[i].isEvent() {
			n++
		}
	}
	return n
}

// showAtOnce shows all there is, and from now on everything at once.
func (q *queue) showAtOnce() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.ahead = true
	q.showAll(q.pending)
}

// waitForRecording waits for the recording again, which lacks the inputs from a number on. What
// came of those has no cause in it that it could wait for, whether it was shown at once or not yet.
func (q *queue) waitForRecording(from int64) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.ahead = true
	for i := range q.pending {
		if n := &q.pending[i]; n.isEvent() || n.cause >= from {
			q.show(n)
		}
	}
	q.release()
	q.ahead = false
}

// finish says that nothing more will be added. In a gap all there is may be taken, else
// what is recorded.
func (q *queue) finish() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.done = true
	if q.ahead {
		q.release()
	}
	q.bell.ring()
}

func (q *queue) finished() bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.done
}

// release has nothing of what is pending wait for its cause.
func (q *queue) release() {
	for i := range q.pending {
		q.pending[i].cause = noCause
	}
	q.bell.ring()
}

func (q *queue) showAll(notes []pendingEvent) {
	for i := range notes {
		q.show(&notes[i])
	}
}

// show shows an event or, of an input that is not recorded, that nothing more comes of it;
// once.
func (q *queue) show(n *pendingEvent) {
	switch {
	case n.shown:
		return
	case n.isEvent():
		q.pub.show(n.event)
	case n.last && !q.ahead:
		return // it is answered once the input is on the disk
	case n.last:
		q.pub.allShown(n.event.Input, false)
	}
	n.shown = true
}

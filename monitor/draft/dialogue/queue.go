package dialogue

import (
	"sync"

	"benchproof.example/monitor/event"
)

// queue holds inputs until they are taken; while nobody listens it holds none.
type queue struct {
	came chan struct{} // something is there

	mu        sync.Mutex
	listening bool
	list      []event.Input
}

func newQueue() queue { return queue{came: make(chan struct{}, 1)} }

func (q *queue) listen(on bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.listening, q.list = on, nil
}

func (q *queue) put(in *event.Input) {
	q.mu.Lock()
	if q.listening {
		q.list = append(q.list, *in)
	}
	rings := q.listening
	q.mu.Unlock()
	if !rings {
		return
	}
	select {
	case q.came <- struct{}{}:
	default:
	}
}

// take gives what came since it was taken last.
func (q *queue) take() []event.Input {
	q.mu.Lock()
	defer q.mu.Unlock()
	list := q.list
	q.list = nil
	return list
}

package api

import (
	"context"
	"sort"
	"sync"
)

// What the ring holds at most.
const (
	ringEvents = 4096
	ringBytes  = 4 << 20
)

// ring holds the latest events.
type ring struct {
	mu    sync.RWMutex // a waiting writer goes before readers that come later
	list  []shownEvent
	first int // index of the oldest
	n     int
	bytes int
}

func newRing() ring { return ring{list: make([]shownEvent, ringEvents)} }

// at is the i-th oldest.
func (r *ring) at(i int) *shownEvent { return &r.list[(r.first+i)%len(r.list)] }

// add reports whether the event is newer than all before.
func (r *ring) add(e shownEvent) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.n > 0 && e.seq <= r.at(r.n-1).seq {
		return false
	}
	for r.n > 0 && (r.n == len(r.list) || r.bytes+len(e.frame) > ringBytes) {
		r.bytes -= len(r.at(0).frame)
		*r.at(0) = shownEvent{}
		r.first, r.n = (r.first+1)%len(r.list), r.n-1
	}
	*r.at(r.n) = e
	r.n, r.bytes = r.n+1, r.bytes+len(e.frame)
	return true
}

// span is the numbers of the oldest and the latest event; some is false if there
// is none.
func (r *ring) span() (oldest, latest int64, some bool) {
	r.mu.RLock()
	defer r.mu.RUnlock()
	if r.n == 0 {
		return 0, 0, false
	}
	return r.at(0).seq, r.at(r.n - 1).seq, true
}

// after appends events behind a number to list, oldest first. whole is false if
// there may be older ones behind that number. A list with room keeps the time
// short for which Publish may have to wait.
func (r *ring) after(list []shownEvent, seq int64, most limits) (_ []shownEvent, whole bool) {
	r.mu.RLock()
	defer r.mu.RUnlock()
	begin := sort.Search(r.n, func(i int) bool { return r.at(i).seq > seq })
	bytes := 0
	for i := begin; i < r.n && !most.full(len(list), bytes, len(r.at(i).frame)); i++ {
		list = append(list, *r.at(i))
		bytes += len(r.at(i).frame)
	}
	return list, r.n > 0 && seq >= r.at(0).seq-1
}

// notifier wakes those who wait for events. Who notifies does not pay for them: spread
// wakes them on its own time.
type notifier struct {
	lastNotified chan struct{}
	mu           sync.Mutex
	waiting      chan struct{} // closed at the next news
}

func newNotifier() notifier {
	return notifier{lastNotified: make(chan struct{}, 1), waiting: make(chan struct{})}
}

func (n *notifier) notify() {
	select {
	case n.lastNotified <- struct{}{}:
	default: // there is news already that nobody was woken for
	}
}

// wait is closed when there is news after this call.
func (n *notifier) wait() <-chan struct{} {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.waiting
}

func (n *notifier) spread(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-n.lastNotified:
			n.wake()
		}
	}
}

func (n *notifier) wake() {
	n.mu.Lock()
	defer n.mu.Unlock()
	close(n.waiting)
	n.waiting = make(chan struct{})
}

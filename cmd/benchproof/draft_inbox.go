package main

import (
	"sync"

	"benchproof.example/monitor/session"
)

// draftInbox is what a session has for the person whom a draft asks: it is the screen of that
// session, which only gathers, so that all that is printed is printed by one goroutine.
type draftInbox struct {
	came     chan struct{} // something is there
	finished chan struct{}

	mu      sync.Mutex
	shown   []session.Shown
	notices []string
}

func newDraftInbox() draftInbox {
	return draftInbox{came: make(chan struct{}, 1), finished: make(chan struct{})}
}

// put changes what is there, and says so.
func (b *draftInbox) put(change func()) {
	b.mu.Lock()
	change()
	b.mu.Unlock()
	select {
	case b.came <- struct{}{}:
	default:
	}
}

// show implements screen.
func (b *draftInbox) show(s session.Shown) { b.put(func() { b.shown = append(b.shown, s) }) }

// notice implements screen.
func (b *draftInbox) notice(err error) {
	b.put(func() { b.notices = append(b.notices, err.Error()) })
}

// run implements screen.
func (b *draftInbox) run() { <-b.finished }

// finish implements screen.
func (b *draftInbox) finish() { close(b.finished) }

// said is what the session said since.
func (b *draftInbox) said() (shown []session.Shown, notices []string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	shown, notices = b.shown, b.notices
	b.shown, b.notices = nil, nil
	return shown, notices
}

package main

import (
	"context"
	"fmt"
	"sync"

	"github.com/coreos/go-systemd/v22/daemon"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// supervised reports to the service manager that started this program how it fares
// (sd_notify(3): READY, WATCHDOG, STATUS, STOPPING). Without one it says nothing.
// A port that is missing is a state, so the service is ready all the same.
type supervised struct {
	now     func() unit.Time
	trouble func(error) // must not block
	beats   chan struct{}

	mu       sync.Mutex
	overview view.Overview
}

func newSupervised(now func() unit.Time, trouble func(error)) *supervised {
	return &supervised{now: now, trouble: trouble, beats: make(chan struct{}, 1)}
}

// see takes an event for the status line; it does not block.
func (s *supervised) see(e *event.Event) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.overview.See(e)
}

// judged takes note that a beat went through judgement; it does not block. A
// timer of our own would go on while judgement hangs, and the watchdog with it.
func (s *supervised) judged() {
	select {
	case s.beats <- struct{}{}:
	default:
	}
}

// run speaks to the service manager until ctx is done. The session is open when
// it is called.
func (s *supervised) run(ctx context.Context) {
	s.notify(daemon.SdNotifyReady)
	for {
		select {
		case <-ctx.Done():
			s.notify(daemon.SdNotifyStopping)
			return
		case <-s.beats:
			s.notify(daemon.SdNotifyWatchdog)
		}
	}
}

// notify sends a state with the status line.
func (s *supervised) notify(state string) {
	s.mu.Lock()
	status := s.overview.Status(s.now())
	s.mu.Unlock()
	if _, err := daemon.SdNotify(false, state+"\nSTATUS="+status); err != nil {
		s.trouble(fmt.Errorf("the service manager can't be told %s: %w", state, err))
	}
}

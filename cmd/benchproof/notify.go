package main

import (
	"context"
	"fmt"
	"os"

	"github.com/coreos/go-systemd/v22/daemon"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// supervised reports to the service manager that started this program how it fares
// (sd_notify(3): READY, WATCHDOG, STATUS, STOPPING). Without one it says nothing.
// A port that is missing is a state, so the service is ready all the same.
type supervised struct {
	sheet   *sheet.Sheet
	state   func() state.State // what the session is like now
	trouble func(error)        // must not block
	beats   chan struct{}
}

func newSupervised(sh *sheet.Sheet, look func() state.State, trouble func(error)) *supervised {
	return &supervised{sheet: sh, state: look, trouble: trouble, beats: make(chan struct{}, 1)}
}

// supervisedByManager reports whether a service manager wants to be told.
func supervisedByManager() bool { return os.Getenv("NOTIFY_SOCKET") != "" }

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
func (s *supervised) notify(what string) {
	now := s.state()
	status := view.StatusLine(&now, s.sheet, 0, false)
	if _, err := daemon.SdNotify(false, what+"\nSTATUS="+status); err != nil {
		s.trouble(fmt.Errorf("the service manager can't be told %s: %w", what, err))
	}
}

package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
	"time"
)

const (
	// stopWithin is how long a command may take to end once it was told to. The rest of
	// two seconds is for the system.
	stopWithin = 1600 * time.Millisecond
	// oneStop is how far apart signals are that are one wish to stop: timeout(1) and others
	// signal the process and then its group.
	oneStop = 150 * time.Millisecond
)

// stopper has a command end when a person or the system tells it to: its context is done
// with the first signal, and the process ends at once with the second, or when the command
// takes too long all the same, whatever it waits for.
type stopper struct {
	ctx    context.Context
	asked  chan os.Signal
	longer chan struct{} // something is under way that may take longer
	talk   io.Writer
	exit   func(code int)

	outlives atomic.Bool // a terminal that closes is no wish to stop
}

// stopperKey finds the stopper of a context.
type stopperKey struct{}

// heedSignals has this process stop by signals, and not by a reader that is gone.
func heedSignals() *stopper {
	signals := []os.Signal{os.Interrupt, syscall.SIGTERM}
	// Who started this with it ignored wants it to outlive the terminal (nohup); a service
	// has none.
	if signal.Ignored(syscall.SIGHUP) || supervisedByManager() {
		signal.Ignore(syscall.SIGHUP)
	} else {
		signals = append(signals, syscall.SIGHUP)
	}
	s := newStopper(os.Stderr, os.Exit)
	signal.Notify(s.asked, signals...)
	signal.Ignore(syscall.SIGPIPE) // a write says so too
	return s
}

func newStopper(talk io.Writer, exit func(int)) *stopper {
	s := &stopper{asked: make(chan os.Signal, 4), longer: make(chan struct{}, 1), talk: talk, exit: exit}
	ctx, cancel := context.WithCancel(context.Background())
	s.ctx = context.WithValue(ctx, stopperKey{}, s)
	go s.heed(cancel)
	return s
}

// heed waits for the signals.
func (s *stopper) heed(cancel func()) {
	for sig := <-s.asked; sig == syscall.SIGHUP && s.outlives.Load(); {
		sig = <-s.asked
	}
	first := time.Now()
	cancel()
	late := time.After(stopWithin)
	for {
		select {
		case sig := <-s.asked:
			// A terminal that closes signals more than once, and nobody asks for haste by it.
			if sig != syscall.SIGHUP && time.Since(first) >= oneStop {
				s.exit(exitInterrupted)
				return
			}
		case <-late:
			s.sayLate()
			s.exit(exitInterrupted)
			return
		case <-s.longer:
			late = nil
		}
	}
}

// sayLate says why the process ends in the midst of something, if anybody reads it.
func (s *stopper) sayLate() {
	said := make(chan struct{})
	go func() {
		defer close(said)
		fmt.Fprintln(s.talk, "benchproof: stopped in the midst of its work, which took too long to end")
	}()
	select {
	case <-said:
	case <-time.After(100 * time.Millisecond):
	}
}

// outliveTerminal has a command go on when its terminal is closed. The signal is not ignored by
// the process: what it starts would inherit that.
func outliveTerminal(ctx context.Context) {
	if s, ok := ctx.Value(stopperKey{}).(*stopper); ok {
		s.outlives.Store(true)
	}
}

// mayTakeLonger lets what a command does at its end take its time. Whoever calls it has
// said so, and that another Ctrl-C ends it.
func mayTakeLonger(ctx context.Context) {
	if s, ok := ctx.Value(stopperKey{}).(*stopper); ok {
		select {
		case s.longer <- struct{}{}:
		default:
		}
	}
}

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"sync"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/sim/world"
)

// errPhoneByHTTP refuses scripts that have a phone.
var errPhoneByHTTP = errors.New("a phone's sentences come by HTTP, not by a port: take the phone out of the script")

// simulate gives the sitting ports with a simulated bench behind them:
// pseudo-terminals, opened like hardware, or pipes within this process where the
// system has none.
func (s *liveSession) simulate(taps []world.Tap, openPTYs func(int) (*world.PTYs, error)) (ends []world.Sink, closePorts func(), err error) {
	if slices.ContainsFunc(taps, func(t world.Tap) bool { return t.Kind == world.Tilt }) {
		return nil, nil, errPhoneByHTTP
	}
	ptys, err := openPTYs(len(taps))
	switch {
	case errors.Is(err, world.ErrNoPTY):
		for _, t := range taps {
			p := newPlug()
			s.taps = append(s.taps, simulated(t, "the simulated port "+t.Name, p.open))
			ends = append(ends, world.SinkFunc(p.deliver))
		}
		return ends, func() {}, nil
	case err != nil:
		return nil, nil, fmt.Errorf("the simulated bench needs pseudo-terminals: %w", err)
	}
	for i, t := range taps {
		s.taps = append(s.taps, simulated(t, ptys.Paths()[i], nil))
	}
	return ptys.Ends(), func() { _ = ptys.Close() }, nil
}

func simulated(t world.Tap, path string, open func(string) (io.ReadCloser, error)) listened {
	settings := uart.Format{} // of the first protocol
	if t.Kind == world.Pulses {
		settings = port.BoardSettings
	}
	return listened{name: t.Name, kind: t.Kind, path: path, settings: settings, open: open}
}

// plug is a simulated port within this process. What is delivered while nobody
// has it open is lost, as on a wire.
type plug struct {
	mu     sync.Mutex
	in     bool
	opened *socket
}

func newPlug() *plug { return &plug{in: true} }

func (p *plug) open(path string) (io.ReadCloser, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.in {
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	p.opened = newSocket()
	return p.opened, nil
}

func (p *plug) deliver(d world.Delivery) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.in = d.Kind != world.Unplugged
	switch {
	case p.opened == nil:
	case !p.in:
		_ = p.opened.Close()
		p.opened = nil
	default:
		p.opened.put(d.Data)
	}
	return nil
}

// socket is one opening of a plug: a queue of bytes.
type socket struct {
	mu      sync.Mutex
	changed sync.Cond
	bytes   []byte
	closed  bool
}

func newSocket() *socket {
	s := &socket{}
	s.changed.L = &s.mu
	return s
}

func (s *socket) put(b []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.bytes = append(s.bytes, b...)
	s.changed.Broadcast()
}

// Read waits for bytes or the end.
func (s *socket) Read(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.bytes) == 0 && !s.closed {
		s.changed.Wait()
	}
	if s.closed {
		return 0, io.EOF
	}
	n := copy(b, s.bytes)
	s.bytes = append(s.bytes[:0], s.bytes[n:]...)
	return n, nil
}

// Close wakes the reader.
func (s *socket) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	s.changed.Broadcast()
	return nil
}

// Package api shows a session over HTTP: metrics, health, state, claims, the
// timeline and its events as they come; and, to who has the token, takes marks
// and reopenings.
//
// It is a guest of the session. Nothing here waits for a port or judges, Publish
// never waits for a client, and what waits for a disk is only what asks for
// events older than those in memory. openapi.json describes what is answered.
package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"time"

	"golang.org/x/net/netutil"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// Options say what a server shows and to whom.
type Options struct {
	State   func() state.State // the present moment; must not block
	Metrics http.Handler       // answers /metrics; must not block
	// Journal opens timeline.jsonl for reading. It may hang. Nil: there is none,
	// and what is no longer in memory is gone.
	Journal func() (io.ReadSeekCloser, error)
	// Put takes a mark or a reopening: kind is event.InputMark or event.InputReopen, data its
	// text. It must not block. An error is a sentence for who asked. Nil: this
	// server only shows.
	Put func(kind event.InputKind, data []byte) error

	Token   string      // whoever has it may change things; "": nobody may
	Hosts   []string    // further names that this server answers to
	Trouble func(error) // nil, or called with what goes wrong beside an answer; must not block

	// Connections at a time; 0 is 2000 or half of the descriptors that the system
	// grants, whichever is less: the rest is for ports and files.
	Connections int
	Streams     int // event streams at a time; 0 is 256
}

// Server answers over HTTP. Make one with New.
type Server struct {
	opt     Options
	hosts   map[string]bool
	ring    ring
	news    notifier
	journal journal
	streams chan struct{} // a place for each
	conns   atomic.Int64
}

// Limits.
const (
	defaultConnections = 2000
	defaultStreams     = 256
	// spare connections are answered once and closed, so that somebody is still
	// answered while all others are kept open.
	spareConnections = 64
	maxHeader        = 16 << 10 // bytes
	maxBody          = 8 << 10  // bytes

	headerPatience = 10 * time.Second
	idlePatience   = 60 * time.Second
	bodyPatience   = 10 * time.Second
	writePatience  = 30 * time.Second // for one answer
	endPatience    = 2 * time.Second
)

// New makes a server; it starts nothing. An error says what is wrong with a
// token or a name.
func New(opt Options) (*Server, error) {
	if opt.Token != "" {
		if err := CheckToken(opt.Token); err != nil {
			return nil, err
		}
	}
	hosts, err := ownNames(opt.Hosts)
	if err != nil {
		return nil, err
	}
	if opt.Connections <= 0 {
		opt.Connections = min(defaultConnections, descriptors()/2)
	}
	if opt.Streams <= 0 {
		opt.Streams = defaultStreams
	}
	return &Server{
		opt: opt, hosts: hosts, ring: newRing(), news: newNotifier(),
		journal: newJournal(opt.Journal), streams: make(chan struct{}, opt.Streams),
	}, nil
}

// Publish takes an event that is shown: its number and its journal line, with or
// without the newline. Numbers that do not rise are passed over. It waits for no
// client and keeps no part of line.
func (s *Server) Publish(seq int64, line []byte) {
	if s.ring.add(newEvent(seq, line)) {
		s.news.notify()
	}
}

// Serve answers on l until ctx is done, then ends streams and lets other answers
// come to their end. It closes l, and returns an error only if l fails. It is for
// one call.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	go s.news.spread(ctx)
	server := &http.Server{
		Handler:           s.handler(),
		ReadHeaderTimeout: headerPatience,
		IdleTimeout:       idlePatience,
		MaxHeaderBytes:    maxHeader,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ConnState:         s.count,
		ErrorLog:          log.New(talk(s.opt.Trouble), "", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(netutil.LimitListener(l, s.opt.Connections+spareConnections)) }()
	select {
	case err := <-ended:
		return errors.Join(fmt.Errorf("nothing is served any more: %w", err), server.Close())
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), endPatience)
	defer cancel()
	if server.Shutdown(grace) != nil {
		_ = server.Close() // who did not take an answer by now loses it
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("nothing was served any more: %w", err)
	}
	return nil
}

// count keeps the number of connections.
func (s *Server) count(_ net.Conn, now http.ConnState) {
	switch now {
	case http.StateNew:
		s.conns.Add(1)
	case http.StateClosed, http.StateHijacked:
		s.conns.Add(-1)
	}
}

// crowded reports that connections are not to be kept open.
func (s *Server) crowded() bool { return s.conns.Load() > int64(s.opt.Connections) }

// talk is where net/http writes its complaints, a line each.
type talk func(error)

func (t talk) Write(line []byte) (int, error) {
	if t != nil {
		t(errors.New("http: " + strings.TrimSpace(string(line))))
	}
	return len(line), nil
}

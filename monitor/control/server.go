package control

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"sync"
	"time"

	"benchproof.example/monitor/event"
)

// Server lets clients in. The fields are set before Serve.
type Server struct {
	Folder string                                        // the session's
	Put    func(kind event.InputKind, data []byte)       // takes an input of Mark, DrillStep or Reopen; must not block
	Check  func(kind event.InputKind, data []byte) error // says in a sentence why an input makes no sense; nil: all do

	mu      sync.Mutex
	clients map[*client]struct{}
}

// Serve listens until ctx is done and then takes the socket away. It returns an
// error only if it could not listen.
func (s *Server) Serve(ctx context.Context) error {
	listener, err := listen(s.Folder)
	if err != nil {
		return err
	}
	var serving sync.WaitGroup
	defer serving.Wait()
	stop := context.AfterFunc(ctx, func() { _ = listener.Close() })
	defer stop()
	for {
		conn, err := listener.Accept()
		switch {
		case ctx.Err() != nil || errors.Is(err, net.ErrClosed):
			if err == nil {
				_ = conn.Close()
			}
			return nil
		case err != nil:
			rest(ctx) // too many open files, or the like
			continue
		}
		c := newClient(s, conn)
		if !s.admit(c) {
			refuse(conn)
			continue
		}
		serving.Go(func() { c.serve(ctx); s.leave(c) })
	}
}

func rest(ctx context.Context) {
	select {
	case <-ctx.Done():
	case <-time.After(time.Second):
	}
}

// listen makes the socket, for its owner alone. One that was left behind by a
// daemon that is no more is replaced.
func listen(folder string) (net.Listener, error) {
	path, err := socketOf(folder)
	if err != nil {
		return nil, err
	}
	if err := clearAway(path); err != nil {
		return nil, err
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, fmt.Errorf("the control socket can't be made, so drills and marks are not possible: %w", err)
	}
	if err := os.Chmod(path, 0o600); err != nil {
		return nil, errors.Join(fmt.Errorf("the control socket can't be kept for its owner alone: %w", err), l.Close())
	}
	return l, nil
}

func clearAway(path string) error {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil && info.Mode()&fs.ModeSocket == 0 {
		return fmt.Errorf("%s is no socket; drills and marks need that name: move the file away", path)
	}
	if conn, err := net.DialTimeout("unix", path, dialPatience); err == nil {
		_ = conn.Close()
		return fmt.Errorf("another benchproof answers at %s", path)
	}
	if err := os.Remove(path); err != nil {
		return fmt.Errorf("a control socket was left behind and can't be replaced: %w", err)
	}
	return nil
}

func (s *Server) admit(c *client) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.clients) >= maxClients {
		return false
	}
	if s.clients == nil {
		s.clients = map[*client]struct{}{}
	}
	s.clients[c] = struct{}{}
	return true
}

func (s *Server) leave(c *client) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.clients, c)
}

// Publish gives an event, as its timeline line with the newline, to all who
// follow. It never blocks; the line is kept and must not change any more.
func (s *Server) Publish(line []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for c := range s.clients {
		if c.follows {
			c.send(line)
		}
	}
}

// follow has a client hear all events that are published from now on.
func (s *Server) follow(c *client) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c.follows = true
}

// put takes a request.
func (s *Server) put(r *Request) (event.InputKind, []byte, error) {
	switch r.Do {
	case DoMark:
		return event.InputMark, []byte(r.Text), CheckText(r.Text)
	case DoReopen:
		return event.InputReopen, []byte(r.What), nil
	case DoFollow:
		return 0, nil, nil
	case DoDrill:
		if r.Step == nil {
			return 0, nil, errors.New(`got "do":"drill" without a step, want "step":{"drill":NAME,"do":"begin"}`)
		}
		data, err := json.Marshal(r.Step)
		return event.InputDrillStep, data, err
	}
	return 0, nil, fmt.Errorf("got %q to do, want drill, mark, reopen or follow", shorten(r.Do))
}

func shorten(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

package control

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"time"
)

const (
	maxWaiting    = 1024             // lines that wait for a client that reads slowly
	writePatience = 5 * time.Second  // for one line
	idlePatience  = 60 * time.Second // for a request of one who follows nothing
)

// client is one connection, as the server sees it.
type client struct {
	server  *Server
	conn    net.Conn
	lines   chan []byte // to be written
	follows bool        // under the server's mutex
}

func newClient(s *Server, conn net.Conn) *client {
	return &client{server: s, conn: conn, lines: make(chan []byte, maxWaiting)}
}

// send queues a line. A client that leaves too many unread is cut off.
func (c *client) send(line []byte) {
	select {
	case c.lines <- line:
	default:
		_ = c.conn.Close()
	}
}

// serve answers requests until the client or ctx is done.
func (c *client) serve(ctx context.Context) {
	stop := context.AfterFunc(ctx, func() { _ = c.conn.Close() })
	defer stop()
	read, written := make(chan struct{}), make(chan struct{})
	go func() { defer close(written); c.write(read) }()
	c.read()
	close(read)
	<-written
	_ = c.conn.Close()
}

// write writes what is queued; once read is closed, what is left.
func (c *client) write(read <-chan struct{}) {
	for {
		select {
		case line := <-c.lines:
			if !c.writeLine(line) {
				return
			}
		case <-read:
			for len(c.lines) > 0 {
				if !c.writeLine(<-c.lines) {
					return
				}
			}
			return
		}
	}
}

func (c *client) writeLine(line []byte) bool {
	_ = c.conn.SetWriteDeadline(time.Now().Add(writePatience))
	if _, err := c.conn.Write(line); err != nil {
		_ = c.conn.Close() // wakes the reader
		return false
	}
	return true
}

func (c *client) read() {
	lines := bufio.NewScanner(c.conn)
	lines.Buffer(make([]byte, 0, maxRequest), maxRequest)
	_ = c.conn.SetReadDeadline(time.Now().Add(idlePatience))
	for lines.Scan() {
		deadline := time.Now().Add(idlePatience)
		if c.take(lines.Bytes()) {
			deadline = time.Time{} // one who follows may be silent
		}
		_ = c.conn.SetReadDeadline(deadline)
	}
	if errors.Is(lines.Err(), bufio.ErrTooLong) {
		c.answer(fmt.Errorf("got a line of more than %d bytes", maxRequest))
	}
}

// take does what a line asks for and reports whether the client follows.
func (c *client) take(line []byte) (follows bool) {
	var r Request
	if err := json.Unmarshal(line, &r); err != nil {
		c.answer(fmt.Errorf("the request is not readable: %w", err))
		return c.follows
	}
	kind, data, err := c.server.put(&r)
	if err == nil && kind != 0 && c.server.Check != nil {
		err = c.server.Check(kind, data)
	}
	c.answer(err)
	if err != nil {
		return c.follows
	}
	if r.Do == DoDrill || r.Do == DoFollow {
		c.server.follow(c)
	}
	if kind != 0 {
		c.server.Put(kind, data)
	}
	return c.follows
}

func (c *client) answer(err error) {
	a := answer{OK: err == nil}
	if err != nil {
		a.Error = err.Error()
	}
	line, _ := json.Marshal(a)
	c.send(append(line, '\n'))
}

// refuse turns away one too many.
func refuse(conn net.Conn) {
	line, _ := json.Marshal(answer{Error: fmt.Sprintf("%d others are connected to this session already: end one of them", maxClients)})
	_ = conn.SetWriteDeadline(time.Now().Add(time.Second))
	_, _ = conn.Write(append(line, '\n'))
	_ = conn.Close()
}

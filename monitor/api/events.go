package api

import (
	"context"
	"net/http"
	"time"
)

const (
	heartbeat      = 15 * time.Second // without any news
	streamPatience = 10 * time.Second // for one write
)

// streamPage is what is written at once.
var streamPage = limits{events: 64, bytes: 64 << 10}

// comment is passed over by clients: it opens a stream before the first event,
// and shows who is still there.
var comment = []byte(":\n\n")

// events streams events as they are shown, as server-sent events (HTML Living
// Standard, section 9.2): id is the number, data the journal line.
func (d *door) events(w http.ResponseWriter, r *http.Request) {
	c, ok := d.open(w, r)
	if !ok {
		return
	}
	defer func() { <-d.streams }()
	first, err := d.page(r.Context(), c.room, c.after, streamPage)
	if err != nil {
		d.refuseOlder(w, err)
		return
	}
	c.begin()
	if r.Method == http.MethodHead {
		return
	}
	if c.keep() == nil && c.send(first) == nil {
		d.follow(r.Context(), &c)
	}
}

// follow sends what comes until the client or the server ends, or the client is
// found to wait for events of another session.
func (s *Server) follow(ctx context.Context, c *stream) {
	for {
		more := s.news.wait()
		list, err := s.page(ctx, c.room, c.after, streamPage)
		if err != nil || s.ahead(c.after) {
			return
		}
		if len(list) > 0 {
			if c.send(list) != nil {
				return
			}
			continue
		}
		s.opt.Await(ctx, heartbeat, more)
		if ctx.Err() != nil {
			s.last(c)
			return
		}
		select {
		case <-more:
		default:
			if c.keep() != nil {
				return
			}
		}
	}
}

// last sends what was shown before the server ended. A client that is gone
// refuses it.
func (s *Server) last(c *stream) {
	for {
		list, _ := s.ring.after(c.room, c.after, streamPage)
		if len(list) == 0 || c.send(list) != nil {
			return
		}
	}
}

// stream is one client that follows.
type stream struct {
	to      http.ResponseWriter
	control *http.ResponseController
	after   int64        // the latest event sent
	room    []shownEvent // empty; for what is sent next
}

// open takes a place for a stream of events behind the number that a request names, behind the
// latest where it names none; or it refuses. Who got one gives the place back.
func (d *door) open(w http.ResponseWriter, r *http.Request) (c stream, ok bool) {
	p, err := readPlace(r.URL.RawQuery, "after")
	if err == nil {
		err = lastEventID(r, &p)
	}
	if err == nil {
		err = d.checkPlace(p)
	}
	if err != nil {
		refuse(w, http.StatusBadRequest, err.Error())
		return c, false
	}
	if !p.given {
		p.after = d.latest()
	}
	if err := d.admit(r); err != nil {
		refuse(w, http.StatusServiceUnavailable, err.Error())
		return c, false
	}
	return stream{to: w, control: http.NewResponseController(w), after: p.after, room: make([]shownEvent, 0, streamPage.events)}, true
}

// begin says what follows.
func (c *stream) begin() {
	c.to.Header().Set("Content-Type", "text/event-stream")
	c.to.Header().Set("X-Accel-Buffering", "no") // a proxy that collects would hold events back
}

// keep shows both sides that the other is still there.
func (c *stream) keep() error { return c.write(1, func(int) []byte { return comment }) }

func (c *stream) send(list []shownEvent) error {
	if len(list) == 0 {
		return nil
	}
	c.after = list[len(list)-1].seq
	return c.write(len(list), func(i int) []byte { return list[i].frame })
}

// write sends n pieces now. A client that does not take them in time is dropped.
func (c *stream) write(n int, piece func(int) []byte) error {
	if err := c.control.SetWriteDeadline(time.Now().Add(streamPatience)); err != nil {
		return err
	}
	for i := range n {
		if _, err := c.to.Write(piece(i)); err != nil {
			return err
		}
	}
	return c.control.Flush()
}

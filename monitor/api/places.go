package api

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"slices"
	"sync"
)

// places are the connections of a door, a bounded number. Where all places are taken, a new
// connection gets that of the one which has been still for longest: connections that send
// half of something and then nothing keep nobody out, whoever asks for /healthz neither.
// Event streams are never displaced, as they have a bound of their own.
type places struct {
	net.Listener
	most int

	mu     sync.Mutex
	order  []net.Conn // the one that has been still for longest first; without streams
	opened int        // connections, streams too
}

// Accept implements net.Listener.
func (p *places) Accept() (net.Conn, error) {
	c, err := p.Listener.Accept()
	if err != nil {
		return nil, err
	}
	if still := p.enter(c); still != nil {
		_ = plain(still).Close() // whoever reads or writes it finds out
	}
	return c, nil
}

// plain is the connection below one that encrypts, which ends without a word of goodbye: a
// client that does not read would keep that waiting.
func plain(c net.Conn) net.Conn {
	if t, ok := c.(*tls.Conn); ok {
		return t.NetConn()
	}
	return c
}

// enter takes a place; displaced is whose place it was, nil while there is room.
func (p *places) enter(c net.Conn) (displaced net.Conn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.opened >= p.most && len(p.order) > 0 {
		displaced, p.order = p.order[0], p.order[1:]
	}
	p.order = append(p.order, c)
	p.opened++
	return displaced
}

// changed notes what a connection does now (http.Server.ConnState).
func (p *places) changed(c net.Conn, now http.ConnState) {
	p.mu.Lock()
	defer p.mu.Unlock()
	i := slices.Index(p.order, c)
	switch now {
	case http.StateActive, http.StateIdle: // something came from it, or it got its answer
		if i >= 0 {
			p.order = append(slices.Delete(p.order, i, i+1), c)
		}
	case http.StateClosed, http.StateHijacked:
		p.opened--
		if i >= 0 {
			p.order = slices.Delete(p.order, i, i+1)
		}
	}
}

// open is how many connections there are.
func (p *places) open() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.opened
}

// keep has the connection of a request never be displaced.
func (p *places) keep(ctx context.Context) {
	c, _ := ctx.Value(connection{}).(net.Conn)
	p.mu.Lock()
	defer p.mu.Unlock()
	if i := slices.Index(p.order, c); i >= 0 {
		p.order = slices.Delete(p.order, i, i+1)
	}
}

// connection is where the context of a request has its connection.
type connection struct{}

func withConnection(ctx context.Context, c net.Conn) context.Context {
	return context.WithValue(ctx, connection{}, c)
}

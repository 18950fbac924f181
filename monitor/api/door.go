package api

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
)

// door is one way in. Over the network a token is needed to change things; the socket in
// the session's folder only its owner's programs can reach, so there none is. Each has
// places of its own: strangers who take all of theirs keep the owner from nothing.
type door struct {
	*Server
	owner   bool // it is the socket
	most    int  // connections that are kept open
	places  places
	streams chan struct{} // a place for each event stream
}

func newDoor(s *Server, owner bool, connections, streams int) *door {
	return &door{
		Server: s, owner: owner, most: connections, streams: make(chan struct{}, streams),
		places: places{most: connections + spareConnections},
	}
}

// serve answers on l until ctx is done.
func (d *door) serve(ctx context.Context, l net.Listener) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	go d.news.spread(ctx)
	go d.pictures.spread(ctx)
	server := &http.Server{
		Handler:           d.handler(),
		ReadHeaderTimeout: headerPatience,
		IdleTimeout:       idlePatience,
		MaxHeaderBytes:    maxHeader,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ConnState:         d.places.changed,
		ConnContext:       withConnection,
		ErrorLog:          log.New(talk(d.opt.Trouble), "", 0),
	}
	d.places.Listener = l
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(&d.places) }()
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

// crowded reports that connections are not to be kept open.
func (d *door) crowded() bool { return d.places.open() > d.most }

// admit takes a place for the stream that a request asks for, or says why there is none.
func (d *door) admit(r *http.Request) error {
	if d.crowded() {
		return fmt.Errorf("more than %d connections are open: ask /api/timeline now and then", d.most)
	}
	select {
	case d.streams <- struct{}{}:
		d.places.keep(r.Context())
		return nil
	default:
		return fmt.Errorf("%d event streams are open, and no more are kept: close one, or ask /api/timeline now and then", cap(d.streams))
	}
}

//go:build outside && linux

package browser_test

import (
	"io"
	"net"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// way is the way from a page to the program, which can break and come back.
type way struct {
	listener net.Listener
	to       string

	mu     sync.Mutex
	broken bool
	open   map[net.Conn]bool // true: nothing passes any more, and neither end hears of that
}

// newWay leads to an address until the test is over.
func newWay(t *testing.T, to string) *way {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	w := &way{listener: l, to: to, open: map[net.Conn]bool{}}
	var carrying sync.WaitGroup
	carrying.Go(func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			carrying.Go(func() { w.carry(near) })
		}
	})
	t.Cleanup(func() {
		_ = l.Close()
		w.breaks()
		carrying.Wait()
	})
	return w
}

func (w *way) url(path string) string { return "http://" + w.listener.Addr().String() + path }

// carry hands on what comes from either side until one ends.
func (w *way) carry(near net.Conn) {
	defer func() { _ = near.Close() }()
	far, err := net.Dial("tcp", w.to)
	if err != nil {
		return
	}
	defer func() { _ = far.Close() }()
	if !w.keep(near) {
		return
	}
	go func() {
		_, _ = io.Copy(passing{w, near, far}, near)
		_ = far.Close()
	}()
	_, _ = io.Copy(passing{w, near, near}, far)
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.open, near)
}

func (w *way) keep(near net.Conn) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.broken {
		return false
	}
	w.open[near] = false
	return true
}

// passing is one side of what is carried, which swallows all where the way has forgotten that.
type passing struct {
	*way
	near, to net.Conn
}

func (p passing) Write(b []byte) (int, error) {
	p.mu.Lock()
	forgotten := p.open[p.near]
	p.mu.Unlock()
	if forgotten {
		return len(b), nil
	}
	return p.to.Write(b)
}

// forgets lets nothing pass any more of what is carried, as a network does that a phone left; what comes
// later is carried.
func (w *way) forgets() {
	w.mu.Lock()
	defer w.mu.Unlock()
	for near := range w.open {
		w.open[near] = true
	}
}

// breaks ends what is carried, and refuses what comes, until it is mended.
func (w *way) breaks() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.broken = true
	for near := range w.open {
		_ = near.Close()
	}
}

func (w *way) mended() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.broken = false
}

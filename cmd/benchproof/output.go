package main

import (
	"context"
	"errors"
	"os"
	"sync"
	"syscall"
	"time"
)

// unreadFor is how long a stream may take what is printed when the program is to end.
const unreadFor = 300 * time.Millisecond

var (
	errUnread   = errors.New("nobody reads what is printed")
	errNoReader = errors.New("who read what is printed is gone")
)

// output is standard output or standard error. A stream that nobody reads (a full pipe)
// holds up who prints as long as the program works, but not its end.
type output struct {
	ctx  context.Context // done when the program is to end
	file *os.File

	mu  sync.Mutex
	err error  // why nothing is printed any more: errUnread or errNoReader
	own []byte // what is being written, for as long as that takes; kept for the next
}

func newOutput(ctx context.Context, f *os.File) *output { return &output{ctx: ctx, file: f} }

// Fd is for those who ask whether it is a terminal.
func (p *output) Fd() uintptr { return p.file.Fd() }

// Write prints. Once the reader is gone, or did not read at the end, it refuses at once.
func (p *output) Write(text []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.err != nil {
		return 0, p.err
	}
	type result struct {
		n   int
		err error
	}
	own := append(p.own[:0], text...) // who prints may go on before it is written
	written := make(chan result, 1)
	p.own = own
	go func() {
		n, err := p.file.Write(own)
		written <- result{n, err}
	}()
	var r result
	select {
	case r = <-written:
	case <-p.ctx.Done():
		select {
		case r = <-written:
		case <-time.After(unreadFor):
			p.err = errUnread
			return 0, p.err
		}
	}
	if errors.Is(r.err, syscall.EPIPE) {
		p.err = errNoReader
		return r.n, p.err
	}
	return r.n, r.err
}

package main

import (
	"bytes"
	"context"
	"io"
)

// interruptible is what a file or standard input has, until ctx is done: then it gives the
// error of ctx, also while it waits for what does not come. It is for one goroutine.
type interruptible struct {
	ctx    context.Context
	of     io.Reader
	buf    []byte
	rest   bytes.Reader
	failed error
}

func newInterruptible(ctx context.Context, of io.Reader) *interruptible {
	return &interruptible{ctx: ctx, of: of, buf: make([]byte, 1<<16)}
}

// Read implements io.Reader.
func (r *interruptible) Read(p []byte) (int, error) {
	if r.rest.Len() == 0 && r.failed == nil {
		r.fill()
	}
	if r.rest.Len() == 0 {
		return 0, r.failed
	}
	return r.rest.Read(p)
}

// fill waits for more. Once it gave up, what still comes is nobody's.
func (r *interruptible) fill() {
	if r.failed = r.ctx.Err(); r.failed != nil {
		return
	}
	type result struct {
		n   int
		err error
	}
	read := make(chan result, 1)
	go func() {
		n, err := r.of.Read(r.buf)
		read <- result{n, err}
	}()
	select {
	case got := <-read:
		r.rest.Reset(r.buf[:got.n])
		r.failed = got.err
	case <-r.ctx.Done():
		r.failed = r.ctx.Err()
	}
}

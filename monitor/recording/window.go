package recording

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// A window grows as blocks ask for it, up to windowSize, which leaves room for
// some of the largest.
const (
	windowStart = 128 << 10
	windowSize  = 2 << 20
)

// emptyReads is how often a source may yield nothing before it counts as stuck.
const emptyReads = 100

// window is a piece of the file in memory that moves forward only.
type window struct {
	src    io.Reader
	buf    []byte
	start  int // of what is still to be read, in buf
	end    int
	offset int64 // of start, in the file
	err    error // why src yields no more
}

// ahead gives what is buffered, n bytes at least unless the file ends before.
// It is good until the next call. n is at most windowSize.
func (w *window) ahead(n int) []byte {
	if w.end-w.start < n && w.err == nil {
		w.fill(n)
	}
	return w.buf[w.start:w.end]
}

func (w *window) fill(n int) {
	rest, size := w.buf[w.start:w.end], max(len(w.buf), windowStart)
	for size < n {
		size *= 2
	}
	if size > len(w.buf) {
		w.buf = make([]byte, size)
	}
	w.start, w.end = 0, copy(w.buf, rest)
	for empty := 0; w.end < n && w.err == nil; {
		got, err := w.src.Read(w.buf[w.end:])
		w.end += got
		w.err = err
		if empty++; got > 0 {
			empty = 0
		}
		if empty == emptyReads && err == nil {
			w.err = io.ErrNoProgress
		}
	}
}

// first copies up to n bytes from here; never nil.
func (w *window) first(n int) []byte {
	b := w.ahead(n)
	return append(make([]byte, 0, n), b[:min(n, len(b))]...)
}

// skip moves forward by n of the bytes that ahead gave.
func (w *window) skip(n int) {
	w.start += n
	w.offset += int64(n)
}

// failed is the trouble that ended the file before its end, or nil.
func (w *window) failed() error {
	if w.err == nil || errors.Is(w.err, io.EOF) {
		return nil
	}
	return fmt.Errorf("read recording at byte %d: %w", w.offset+int64(w.end-w.start), w.err)
}

// foundHurt reports, once, that the file is a packed one that could not be unpacked to its
// end.
func (w *window) foundHurt() bool {
	src := w.src
	if named, ok := src.(source); ok {
		src = named.Reader
	}
	packed, ok := src.(*unpacked)
	return ok && packed.foundHurt()
}

// block gives the whole block that begins at bytes from here, as far as its
// framing can be believed: a possible length, the same at both ends.
func (w *window) block(at int) ([]byte, flaw) {
	b := w.ahead(min(at+minBlock, windowSize))
	if len(b) <= at {
		return nil, nothingLeft
	}
	if len(b) < at+minBlock {
		return nil, cutShort
	}
	n := int(binary.LittleEndian.Uint32(b[at+4:]))
	if n < minBlock || n > maxBlock || n%4 != 0 {
		return nil, badLength
	}
	if b = w.ahead(min(at+n, windowSize)); len(b) < at+n {
		return nil, cutShort
	}
	b = b[at : at+n]
	if int(binary.LittleEndian.Uint32(b[n-4:])) != n {
		return nil, lengthsDiffer
	}
	return b, sound
}

package waveform

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// window is how much of a file is held at a time, bytes. Nothing that must be
// seen whole may be longer.
const window = 128 << 10

// source is a file behind a buffer. It counts lines only where it lets go of
// bytes, and when somebody asks.
type source struct {
	r     io.Reader
	buf   []byte // of length window; there is room for one byte more, see close
	pos   int    // the first byte not taken yet
	end   int    // behind the last byte held
	gone  int64  // bytes let go
	lines int64  // line ends among them
	begun int64  // offset of the line that the first held byte is part of
	err   error  // why no more comes, io.EOF at the end
}

func newSource(r io.Reader) *source { return &source{r: r, buf: make([]byte, window+1)[:window]} }

// peek holds n bytes, or fewer where no more comes, and takes none.
func (s *source) peek(n int) ([]byte, error) {
	for more := true; more && s.end-s.pos < n; {
		more = s.more()
	}
	if s.pos == s.end && !errors.Is(s.err, io.EOF) {
		return nil, s.err
	}
	return s.buf[s.pos:min(s.end, s.pos+n)], nil
}

// more reads on behind what is held. False: there is no room, or no more comes.
func (s *source) more() bool {
	if s.pos > 0 {
		s.release()
	}
	if s.end == len(s.buf) || s.err != nil {
		return false
	}
	const patience = 100 // reads of nothing
	for range patience {
		n, err := s.r.Read(s.buf[s.end:])
		s.end += n
		if err != nil {
			s.err = err
			if !errors.Is(err, io.EOF) {
				s.err = fmt.Errorf("reading: %w", err)
			}
		}
		if n > 0 || err != nil {
			return n > 0
		}
	}
	s.err = fmt.Errorf("reading: %w", io.ErrNoProgress)
	return false
}

// release lets go of what was taken.
func (s *source) release() {
	taken := s.buf[:s.pos]
	s.lines += int64(bytes.Count(taken, lineEnd))
	if i := bytes.LastIndexByte(taken, '\n'); i >= 0 {
		s.begun = s.gone + int64(i) + 1
	}
	s.gone += int64(s.pos)
	s.end = copy(s.buf, s.buf[s.pos:s.end])
	s.pos = 0
}

// full reports that nothing more fits before something is taken.
func (s *source) full() bool { return s.pos == 0 && s.end == len(s.buf) }

// close puts a line end behind the last byte of a file that has none.
func (s *source) close() {
	s.buf = s.buf[:window+1]
	s.buf[s.end] = '\n'
	s.end++
}

// taken is the number of bytes of the file that were taken.
func (s *source) taken() int64 { return s.gone + int64(s.pos) }

var lineEnd = []byte{'\n'}

// failed is an error at an index of the buffer.
func (s *source) failed(at int, text string) error {
	before := s.buf[:at]
	begun := s.begun
	if i := bytes.LastIndexByte(before, '\n'); i >= 0 {
		begun = s.gone + int64(i) + 1
	}
	return &Error{
		Line:   1 + s.lines + int64(bytes.Count(before, lineEnd)),
		Column: 1 + s.gone + int64(at) - begun,
		Text:   text,
	}
}

// skipMark passes over a byte order mark, which stands in no column.
func (s *source) skipMark() {
	if bytes.HasPrefix(s.buf[s.pos:s.end], []byte(mark)) {
		s.pos += len(mark)
		s.begun = int64(len(mark))
	}
}

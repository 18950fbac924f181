package waveform

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"benchproof.example/decode/edge"
)

// list reads the rows of a list of comma-separated values: the time and the level
// of each signal from then on, 0 or 1; x, z or nothing for unknown. A row may
// change several signals, or none: samples do as well as edges. White space
// around values and double quotes are no part of them. Times may be negative and
// never decrease. Lines that are empty or begin with # or ; are passed over.
type list struct {
	src       *source
	delimiter byte
	shift     int     // a time is this power of ten times as many ticks
	lines     []int   // by column: the line it describes, none for no such
	fields    []field // of a row, lent
	levels    []byte  // of a row, by column
	headerAt  int
	tick      int64
	begun     bool // a row was read
	ended     bool // the line that is being read has no end
	stopped   bool // the file ended within a row
}

// field is a value and the index in the buffer where it begins.
type field struct {
	text []byte
	at   int
}

func (l *list) wanted(*watch)  {} // it looks the line up in the watch itself
func (l *list) cut() bool      { return l.stopped }
func (l *list) reached() int64 { return l.tick }

// read takes rows as long as whole ones are held, and waits for one if none is.
func (l *list) read(w *watch) error {
	for {
		if err := l.next(w); err != nil {
			return err
		}
		if w.full() || bytes.IndexByte(l.src.buf[l.src.pos:l.src.end], '\n') < 0 {
			return nil
		}
	}
}

func (l *list) next(w *watch) error {
	line, at, err := l.line()
	if err != nil || isRemark(line) {
		return err
	}
	n, closed := l.cutUp(line, at)
	last := &l.fields[min(n, len(l.fields))-1]
	if l.ended && n <= len(l.lines) && (!closed || n < len(l.lines) || len(last.text) == 0) {
		l.stopped = true
		return nil
	}
	switch {
	case !closed:
		return l.src.failed(last.at, "found a quote that is not closed; want one at both ends")
	case n != len(l.lines):
		return l.src.failed(at, fmt.Sprintf("found %s; want %d, as the header has", columns(n), len(l.lines)))
	}
	return l.row(w)
}

func columns(n int) string {
	if n == 1 {
		return "one column"
	}
	return fmt.Sprintf("%d columns", n)
}

// line takes the next line, lends it without its end and says where it begins in
// the buffer. io.EOF comes behind the last one.
func (l *list) line() (line []byte, at int, err error) {
	s, seen := l.src, 0
	remark := false // what is held is within a remark that does not fit
	for {
		if i := bytes.IndexByte(s.buf[s.pos+seen:s.end], '\n'); i >= 0 {
			at = s.pos
			s.pos += seen + i + 1
			if remark {
				return nil, at, nil
			}
			return s.buf[at : s.pos-1], at, nil
		}
		seen = s.end - s.pos
		switch {
		case s.more():
		case s.full() && (remark || firstOf(s.buf[:s.end]) == '#' || firstOf(s.buf[:s.end]) == ';'):
			remark, s.pos, seen = true, s.end, 0
		case s.full():
			return nil, 0, s.failed(0, fmt.Sprintf("found a line of more than %d characters; want a row: time and levels", window))
		case !errors.Is(s.err, io.EOF) || s.pos == s.end:
			return nil, 0, s.err
		default:
			l.ended = true
			s.close()
		}
	}
}

// cutUp fills fields and reports how many there are, also beyond those that the
// header has, and whether the last quote is closed.
func (l *list) cutUp(line []byte, at int) (n int, closed bool) {
	for pos := 0; ; n++ {
		from := pos
		pos, closed = l.fieldEnd(line, pos)
		if n < len(l.fields) {
			l.fields[n] = trimmed(line[from:pos], at+from)
		}
		if pos == len(line) {
			return n + 1, closed
		}
		pos++
	}
}

// fieldEnd is where the field ends that begins at pos. Within quotes, which only
// its first character can open, a delimiter is none.
func (l *list) fieldEnd(line []byte, pos int) (end int, closed bool) {
	for pos < len(line) && isSpace(line[pos]) && line[pos] != l.delimiter {
		pos++
	}
	if pos < len(line) && line[pos] == '"' {
		n := bytes.IndexByte(line[pos+1:], '"')
		if n < 0 {
			return len(line), false
		}
		pos += n + 2
	}
	for pos < len(line) && line[pos] != l.delimiter {
		pos++
	}
	return pos, true
}

// trimmed is a value without white space and quotes around it.
func trimmed(text []byte, at int) field {
	for range 2 {
		for len(text) > 0 && isSpace(text[0]) {
			text, at = text[1:], at+1
		}
		for len(text) > 0 && isSpace(text[len(text)-1]) {
			text = text[:len(text)-1]
		}
		if len(text) < 2 || text[0] != '"' || text[len(text)-1] != '"' {
			break
		}
		text, at = text[1:len(text)-1], at+1
	}
	return field{text, at}
}

// row takes the fields, all of them or none.
func (l *list) row(w *watch) error {
	time := l.fields[0]
	tick, ok := ticks(time.text, l.shift, l.delimiter != ',')
	switch {
	case !ok:
		return l.src.failed(time.at, "found "+shown(time.text)+" for a time; want a number that fits 64 bits of ticks, e.g. 12.5 or 1.25e-5")
	case l.begun && tick < l.tick:
		return l.src.failed(time.at, "found the time "+shown(time.text)+", which is before that of the row above; want times that never decrease")
	}
	for i, line := range l.lines {
		if line == none || w.lines[line].first == none {
			continue
		}
		l.levels[i] = levelOf(l.fields[i].text)
		if l.levels[i] >= space {
			return l.src.failed(l.fields[i].at, "found the level "+shown(l.fields[i].text)+"; want 0 or 1, or x, z or nothing for unknown")
		}
	}
	l.tick, l.begun = tick, true
	for i, line := range l.lines {
		if line != none && w.lines[line].first != none {
			w.level(line, tick, edge.Level(l.levels[i]))
		}
	}
	return nil
}

// levelOf is the level that a value is, or another sign.
func levelOf(text []byte) byte {
	switch len(text) {
	case 0:
		return byte(edge.Unknown)
	case 1:
		return begins[text[0]]
	}
	return other
}

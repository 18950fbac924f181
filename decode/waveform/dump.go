package waveform

import (
	"errors"
	"io"
	"strings"

	"benchproof.example/decode/edge"
)

// dump reads the changes of a value change dump:
//
//	#12500           time, in ticks; never decreasing
//	1!               the signal with code ! is high
//	b0 "             a vector; of one bit: the same as 0"
//	r1.5 %  stext &  reals and strings: passed over
//	$dumpoff $end    what follows is unknown until it is reported again
//	$comment $end    passed over
//
// Commands stand between white space, any number on a line.
type dump struct {
	src     *source
	codes   codes
	tick    int64
	state   state
	owed    owed
	midway  bool // what is held begins within a word too long to be seen whole
	last    int  // index of the word that the file ends with, without white space behind; none until it does
	stopped bool // the file ended within a command
}

// state is what a dump goes on with.
type state uint8

const (
	commands state = iota
	code           // of a vector whose value was read
	comment        // up to the next $end
)

// owed is the value of a vector whose code comes next.
type owed struct {
	level edge.Level // unset for what is no level of one bit
	what  string     // and what it is then
}

func (d *dump) wanted(w *watch) { d.codes.wanted(w) }
func (d *dump) cut() bool       { return d.stopped }
func (d *dump) reached() int64  { return d.tick }

// read takes what is held up to the last white space, so that it sees no word
// in part.
func (d *dump) read(w *watch) error {
	if limit := d.whole(); limit > d.src.pos {
		return d.run(w, limit)
	}
	switch {
	case d.src.more():
		return nil
	case d.src.full():
		return d.giant()
	case !errors.Is(d.src.err, io.EOF):
		return d.src.err
	case d.src.pos == d.src.end:
		d.stopped = d.stopped || d.state != commands
		return io.EOF
	}
	d.last = d.src.pos
	d.src.close()
	return nil
}

// whole is the index behind the last white space that is held, 0 for none.
func (d *dump) whole() int {
	for i := d.src.end; i > d.src.pos; i-- {
		if isSpace(d.src.buf[i-1]) {
			return i
		}
	}
	return 0
}

// giant passes over a word that is longer than what can be held.
func (d *dump) giant() error {
	switch c := d.src.buf[0]; {
	case d.midway || d.state == comment:
	case d.state == commands && (isVector(c) || isOpaque(c)):
		d.owe(unset, "a value of more than one bit")
	default:
		return d.src.failed(0, "found a word that does not end; want a time, a value or a command")
	}
	d.midway = true
	d.src.pos = d.src.end
	return nil
}

// What a word begins with: a level for a scalar, or one of these.
const (
	space = 16 + iota
	stamp
	other
)

// begins reports what a word is by its first byte. Besides the levels of IEEE 1364
// it knows those of IEEE 1164, which simulators of that language write: weak ones
// count as strong.
var begins = func() (t [256]uint8) {
	for c := range t {
		t[c] = other
		if isSpace(byte(c)) {
			t[c] = space
		}
	}
	for l, letters := range [...]string{edge.Low: "0lL", edge.High: "1hH", edge.Unknown: "xXzZuUwW-"} {
		for _, c := range letters {
			t[c] = uint8(l)
		}
	}
	t['#'] = stamp
	return t
}()

func isVector(c byte) bool { return c == 'b' || c == 'B' }
func isOpaque(c byte) bool { return strings.IndexByte("rRsS", c) >= 0 }

// run takes words up to limit, which is behind white space.
func (d *dump) run(w *watch, limit int) (err error) {
	buf, pos := d.src.buf[:limit], d.src.pos
	if d.midway {
		pos = wordEnd(buf, pos)
		d.midway = false
	}
	for pos < len(buf) && err == nil && !w.full() {
		switch kind := begins[buf[pos]]; {
		case kind == space:
			pos++
		case kind == other || d.state != commands || pos == d.last:
			pos, err = d.rare(w, buf, pos)
		case kind == stamp:
			pos, err = d.time(buf, pos)
		default:
			pos, err = d.scalar(w, buf, pos)
		}
	}
	d.src.pos = pos
	return err
}

// wordEnd is where the word ends that goes on at pos.
func wordEnd(buf []byte, pos int) int {
	for pos < len(buf) && buf[pos] > ' ' {
		pos++
	}
	return pos
}

// scalar takes a level with its code.
func (d *dump) scalar(w *watch, buf []byte, at int) (int, error) {
	pos, key := at+1, uint64(0)
	for ; pos < len(buf) && buf[pos] > ' '; pos++ {
		key = key<<8 | uint64(buf[pos])
	}
	line := d.codes.find(key, buf[at+1:pos])
	if line >= 0 {
		w.level(line, d.tick, edge.Level(begins[buf[at]]))
	} else if line == undeclared {
		return at, d.foreignCode(buf[at+1:pos], at+1)
	}
	return pos, nil
}

// rare takes what is not the daily bread.
func (d *dump) rare(w *watch, buf []byte, pos int) (int, error) {
	end := wordEnd(buf, pos)
	word := buf[pos:end]
	c := buf[pos]
	switch {
	case pos == d.last && d.doubtful(word):
		return end, nil
	case d.state == comment:
		if string(word) == "$end" {
			d.state = commands
		}
		return end, nil
	case d.state == code:
		return end, d.vectorCode(w, word, pos)
	case isVector(c):
		return end, d.vector(word, pos)
	case isOpaque(c):
		d.owe(unset, "a real or a string")
		return end, nil
	case c == '$':
		return end, d.command(w, word, pos)
	case begins[c] == stamp:
		return d.time(buf, pos)
	case begins[c] < space:
		return d.scalar(w, buf, pos)
	}
	return pos, d.src.failed(pos, "found "+shown(buf[pos:max(end, pos+1)])+"; want a time (#100), a value (0, 1, x, z, b01) or a command ($dumpoff)")
}

// doubtful reports whether the word that the file ends with might go on, and be
// another then.
func (d *dump) doubtful(word []byte) bool {
	c := word[0]
	switch {
	case d.state == comment:
		return false
	case d.state == code:
		d.stopped = d.codes.goesOn(word)
	case begins[c] == stamp:
		return true // a time without a change shows nothing
	case begins[c] < space:
		d.stopped = len(word) == 1 || d.codes.goesOn(word[1:])
	case isVector(c) || isOpaque(c):
		d.stopped = true
	case c == '$':
		_, known := meanings[string(word)]
		d.stopped = !known
	}
	return d.stopped
}

// meaning is what a command does among the changes.
type meaning uint8

const (
	passed       meaning = iota // its values are values
	remark                      // text up to $end
	unknownLevel                // nothing is known from here on
)

var meanings = map[string]meaning{
	"$end": passed, "$dumpvars": passed, "$dumpall": passed, "$dumpon": passed, "$dumpoff": unknownLevel,
	"$comment": remark, "$date": remark, "$version": remark,
}

func (d *dump) command(w *watch, word []byte, at int) error {
	m, ok := meanings[string(word)]
	switch {
	case !ok:
		return d.src.failed(at, "found the command "+shown(word)+"; want $dumpvars, $dumpall, $dumpon, $dumpoff, $comment or $end")
	case m == remark:
		d.state = comment
	case m == unknownLevel:
		w.allUnknown(d.tick)
	}
	return nil
}

// foreignCode says that no signal has a code.
func (d *dump) foreignCode(word []byte, at int) error {
	if len(word) == 0 {
		return d.src.failed(at, "found a value without a code; want the code right behind it")
	}
	return d.src.failed(at, "found the code "+shown(word)+", which no $var declares; want one that does")
}

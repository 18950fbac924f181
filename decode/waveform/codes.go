package waveform

import (
	"math/bits"
	"strings"
)

// What find answers where it has no line that is wanted.
const (
	unwanted   = -1
	undeclared = -2
)

// codes finds lines by their identifier codes, in an open table for codes of up
// to eight characters, which are all that tools write, and a map for the rest.
type codes struct {
	table []coded
	shift int
	long  map[string]*coded
	all   []string // by line
}

type coded struct {
	key    uint64 // the characters, the last one lowest; 0 for an empty place
	line   int32
	answer int32
}

const packed = 8 // characters in a key

// add gives a code its line: the one it has, or the next.
func (c *codes) add(code string) (line int) {
	if at := c.place(pack(code), code); at != nil && (at.key != 0 || len(code) > packed) {
		return int(at.line)
	}
	if 2*(len(c.all)+1) > len(c.table) {
		c.grow()
	}
	line = len(c.all)
	c.all = append(c.all, code)
	c.put(code, line)
	return line
}

func (c *codes) put(code string, line int) {
	fresh := coded{key: pack(code), line: int32(line), answer: unwanted}
	if len(code) > packed {
		c.long[code] = &fresh
		return
	}
	*c.place(fresh.key, code) = fresh
}

// place is where a code is or would be; nil for a long one that is not there.
func (c *codes) place(key uint64, code string) *coded {
	if len(code) > packed {
		return c.long[code]
	}
	if len(c.table) == 0 {
		return nil
	}
	i := c.slot(key)
	for c.table[i].key != 0 && c.table[i].key != key {
		i = (i + 1) & (len(c.table) - 1)
	}
	return &c.table[i]
}

func (c *codes) slot(key uint64) int { return int(key * 0x9E3779B97F4A7C15 >> c.shift) }

func (c *codes) grow() {
	size := max(64, 2*len(c.table))
	c.table = make([]coded, size)
	c.shift = 64 - bits.TrailingZeros(uint(size))
	if c.long == nil {
		c.long = map[string]*coded{}
	}
	for line, code := range c.all {
		c.put(code, line)
	}
}

func pack(code string) (key uint64) {
	for i := range len(code) {
		key = key<<8 | uint64(code[i])
	}
	return key
}

// find is the line of a code, as key and as characters, if it is wanted.
func (c *codes) find(key uint64, code []byte) int {
	if len(code) > packed {
		if at := c.long[string(code)]; at != nil {
			return int(at.answer)
		}
		return undeclared
	}
	for i := c.slot(key); ; i = (i + 1) & (len(c.table) - 1) {
		at := &c.table[i]
		if at.key == key && key != 0 {
			return int(at.answer)
		}
		if at.key == 0 {
			return undeclared
		}
	}
}

// wanted makes find answer with the lines that are watched.
func (c *codes) wanted(w *watch) {
	for i := range c.table {
		c.table[i].want(w)
	}
	for _, at := range c.long {
		at.want(w)
	}
}

func (at *coded) want(w *watch) {
	at.answer = unwanted
	if at.key != 0 && w.lines[at.line].first != none {
		at.answer = at.line
	}
}

// goesOn reports whether a longer code begins with one.
func (c *codes) goesOn(code []byte) bool {
	for _, other := range c.all {
		if len(other) > len(code) && strings.HasPrefix(other, string(code)) {
			return true
		}
	}
	return false
}

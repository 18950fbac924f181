package uart

import (
	"math"

	"benchproof.example/decode/edge"
)

// Char is one character, good or bad.
type Char struct {
	Start   int64 // tick of the edge that began it
	At      int64 // tick at which its first stop bit ends
	Byte    byte  // what its bits say, also where it is bad
	Parity  bool  // the parity bit does not fit
	Framing bool  // the stop bit is not idle
	Break   bool  // nor is any bit: the line was held active
	Unknown bool  // the level was unknown at a bit's centre
}

// Bad reports whether anything is wrong with it.
func (c *Char) Bad() bool { return c.Parity || c.Framing || c.Break || c.Unknown }

// Decoder makes characters of the edges of one line. Instead of looking at the
// centre of each bit, it fills in at each edge all bits whose centres lie between
// the edge before and this one.
//
//	line    ‾‾‾\___________/‾‾‾‾‾\_____/‾‾‾
//	centres      ^  ^  ^  ^  ^  ^  ^  ^  ^
//	filled       [0  0  0  0][1  1][0  0][1 ...
//
// A start bit must hold to its centre, else it was a glitch: Glitches counts them.
// After a bad stop bit a new character begins at the next change from idle to
// active, so a break gives one character.
type Decoder struct {
	Glitches int64 // active for less than half a bit where a start bit was due

	format Format
	idle   edge.Level
	last   int64  // centre of the first stop bit, ticks from the start edge
	end    int64  // end of that bit
	recip  uint64 // bits a tick, times fraction
	n      int    // bits of a character, from start to first stop

	level   edge.Level
	busy    bool // in a character
	start   int64
	filled  int    // bits of it
	bits    uint32 // so far, the start bit lowest: 1 is idle
	unknown bool   // at a centre
	char    Char
	one     [1]edge.Edge
}

const fraction = 1 << 40

// NewDecoder makes a decoder of a line whose edges come at a rate. Before the first
// edge the level is unknown.
func NewDecoder(rate edge.Rate, f Format) (*Decoder, error) {
	if err := f.Check(rate); err != nil {
		return nil, err
	}
	g := newGrid(rate, f.Baud)
	n := f.bits()
	return &Decoder{
		format: f, idle: f.idle(), n: n, level: edge.Unknown, last: g.at(int64(2*n - 1)), end: g.at(int64(2 * n)),
		recip: uint64(math.Round(fraction * float64(g.den) / float64(2*g.num))),
	}, nil
}

// Edge takes the next edge of the line, as Feed does.
func (d *Decoder) Edge(e edge.Edge, take func(*Char)) {
	d.one[0] = e
	d.Feed(d.one[:], take)
}

// Feed takes the next edges of the line; ticks must not decrease. take gets a
// character as soon as an edge proves it complete; it is lent for the call.
func (d *Decoder) Feed(edges []edge.Edge, take func(*Char)) {
	level, active := d.level, d.idle.Not()
	busy, start, filled, bits := d.busy, d.start, d.filled, d.bits // in registers: this is the hot path
	for _, e := range edges {
		if busy && filled > 0 && level != edge.Unknown {
			upTo := d.n
			if since := e.Tick - start; since <= d.last {
				upTo = int((uint64(since)*d.recip + fraction/2) >> 40)
			}
			if level != active {
				bits |= 1<<upTo - 1<<filled
			}
			if filled = upTo; upTo == d.n {
				d.bits, d.start = bits, start
				d.complete(take)
				busy = false
			}
		} else if busy {
			d.filled, d.bits, d.start, d.level = filled, bits, start, level
			d.fill(e.Tick-start, take)
			busy, filled, bits = d.busy, d.filled, d.bits
		}
		if !busy && e.Level == active && level == d.idle {
			busy, start, filled, bits, d.unknown, d.busy = true, e.Tick, 0, 0, false, true
		}
		level = e.Level
	}
	d.level, d.busy, d.start, d.filled, d.bits = level, busy, start, filled, bits
}

// Until says that the line stood as it is up to a tick. An idle line has no edge
// that would complete its last character.
func (d *Decoder) Until(tick int64, take func(*Char)) {
	if d.busy && tick > d.start {
		d.fill(tick-d.start, take)
	}
}

// fill gives the level since the edge before to all bits whose centres lie before a
// tick, counted from the start edge.
func (d *Decoder) fill(since int64, take func(*Char)) {
	if d.filled == 0 && d.level != d.idle.Not() { // it went back before its centre
		d.busy = false
		d.Glitches++
		return
	}
	upTo := d.n
	if since <= d.last {
		upTo = int((uint64(since)*d.recip + fraction/2) >> 40)
	}
	switch {
	case d.level == d.idle:
		d.bits |= 1<<upTo - 1<<d.filled
	case d.level == edge.Unknown && upTo > d.filled:
		d.unknown = true
	}
	if d.filled = upTo; upTo == d.n {
		d.complete(take)
	}
}

func (d *Decoder) complete(take func(*Char)) {
	d.busy = false
	f := &d.format
	data := d.bits >> 1 & (1<<f.Data - 1)
	c := &d.char
	*c = Char{Start: d.start, At: d.start + d.end, Byte: byte(data), Unknown: d.unknown}
	c.Framing = d.bits>>(d.n-1)&1 == 0
	c.Break = c.Framing && d.bits == 0 && !d.unknown
	if f.Parity != None && !c.Break {
		c.Parity = d.bits>>(1+f.Data)&1 != f.parityBit(data)
	}
	take(c)
}

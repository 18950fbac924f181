package uart

import "benchproof.example/decode/edge"

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
// centre of each bit, it turns over, at each edge, all bits whose centres are yet to
// come.
//
//	line    ‾‾‾\___________/‾‾‾‾‾\_____/‾‾‾
//	centres      ^  ^  ^  ^  ^  ^  ^  ^  ^
//	start        0  0  0  0  0  0  0  0  0
//	edge                     1  1  1  1  1
//	edge                           0  0  0
//	edge                                 1
//
// A start bit must hold to its centre, else it was a glitch. After a bad stop bit a
// new character begins at the next change from idle to active, so a break gives one
// character. A level that is unknown at a centre makes the character bad; what
// begins out of an unknown level is none.
//
// What is given depends on the edges alone. The exported fields are what a
// checkpoint keeps; it is read into a decoder made for the same line.
type Decoder struct {
	Glitches int64 // active for less than half a bit where a start bit was due

	Level   edge.Level // since the latest edge
	Busy    bool       // in a character
	Start   int64      // tick of the edge that began it
	Bits    uint32     // it, if no edge came any more; the start bit lowest, 1 is idle
	Reached int        // centres before the line became unknown
	Unknown bool       // the level was unknown at a centre

	format Format
	idle   edge.Level
	n      int    // bits of a character, from start to first stop
	stop   int64  // centre of the first stop bit, ticks from the start edge
	end    int64  // end of that bit
	pace   uint64 // bits a tick, times one
	char   Char
}

// NewDecoder makes a decoder of a line whose edges come at a rate. Before the first
// edge the level is unknown.
func NewDecoder(rate edge.Rate, f Format) (*Decoder, error) {
	if err := f.Check(rate); err != nil {
		return nil, err
	}
	g, n := newGrid(rate, f.Baud), f.bits()
	return &Decoder{
		Level: edge.Unknown, format: f, idle: f.idle(), n: n,
		stop: g.at(int64(2*n - 1)), end: g.at(int64(2 * n)), pace: g.pace(),
	}, nil
}

// Edge takes the next edge of the line; ticks must not decrease. take gets the
// character that it proves complete, if any, lent for the call.
func (d *Decoder) Edge(e edge.Edge, take func(*Char)) {
	was := d.Level
	if d.Busy {
		since := e.Tick - d.Start
		if uint64(since) < uint64(d.stop) {
			centres := (uint64(since)*d.pace + one/2) / one
			if centres > 0 && (was|e.Level) < edge.Unknown {
				d.Bits ^= -uint32(was^e.Level) << (centres & 31)
				d.Level = e.Level
				return
			}
			d.odd(e.Level, int(centres))
			return
		}
		d.complete(since, take)
	}
	if was == d.idle && e.Level == d.idle^1 {
		d.Busy, d.Start, d.Bits, d.Unknown = true, e.Tick, 0, false
	}
	d.Level = e.Level
}

// Until says that the line stood as it is up to a tick. An idle line has no edge
// that would complete its last character.
func (d *Decoder) Until(tick int64, take func(*Char)) {
	if since := tick - d.Start; d.Busy && since >= d.stop {
		d.complete(since, take)
	}
}

// odd takes an edge in a character that begins or ends an unknown level, or comes
// before the centre of the start bit.
func (d *Decoder) odd(level edge.Level, centres int) {
	was := d.Level
	d.Level = level
	if centres == 0 {
		if level != was {
			d.Busy = false
			d.Glitches++
		}
		return
	}
	if was == edge.Unknown && centres > d.Reached {
		d.Unknown = true
	}
	if level == edge.Unknown {
		d.Reached = centres
	}
	if (was == d.idle) != (level == d.idle) {
		d.Bits ^= ^uint32(0) << (centres & 31)
	}
}

func (d *Decoder) complete(since int64, take func(*Char)) {
	d.Busy = false
	if since < 0 { // the clock ran backwards
		return
	}
	f := &d.format
	data := d.Bits >> 1 & (1<<f.Data - 1)
	c := &d.char
	*c = Char{Start: d.Start, At: d.Start + d.end, Byte: byte(data)}
	c.Unknown = d.Unknown || d.Level == edge.Unknown
	c.Framing = d.Bits>>(d.n-1)&1 == 0
	c.Break = d.Bits&(1<<d.n-1) == 0 && !c.Unknown
	if f.Parity != None && !c.Break {
		c.Parity = d.Bits>>(1+f.Data)&1 != f.parityBit(data)
	}
	take(c)
}

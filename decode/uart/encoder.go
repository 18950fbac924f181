package uart

import "benchproof.example/decode/edge"

// Encoder makes the edges of a line on which characters are sent. Bits lie on one
// grid from the first on, so that no error adds up over back-to-back characters.
type Encoder struct {
	format Format
	grid   grid
	idle   edge.Level
	start  int64 // tick of the grid's beginning
	half   int64 // half bits from there
	level  edge.Level
}

// NewEncoder makes an encoder of a line that is idle from a tick on.
func NewEncoder(rate edge.Rate, f Format, from int64) (*Encoder, error) {
	if err := f.Check(rate); err != nil {
		return nil, err
	}
	return &Encoder{format: f, grid: newGrid(rate, f.Baud), idle: f.idle(), level: f.idle(), start: from}, nil
}

// Now is the tick up to which the line is known.
func (e *Encoder) Now() int64 { return e.start + e.grid.at(e.half) }

// Begin is the edge that a capture begins with: the idle line.
func (e *Encoder) Begin() edge.Edge { return edge.Edge{Tick: e.start, Level: e.idle} }

// Send appends the edges of one character.
func (e *Encoder) Send(dst []edge.Edge, b byte) []edge.Edge {
	f := &e.format
	data := uint32(b) & (1<<f.Data - 1)
	word, n := data<<1, 1+f.Data
	if f.Parity != None {
		word |= f.parityBit(data) << n
		n++
	}
	for i := range n {
		dst = e.bit(dst, word>>i&1 != 0, 2)
	}
	return e.bit(dst, true, int64(2*f.Stop))
}

// Break appends a line held active for a number of bits, and a stop bit.
func (e *Encoder) Break(dst []edge.Edge, bits int) []edge.Edge {
	return e.bit(e.bit(dst, false, int64(2*bits)), true, 2)
}

// Rest leaves the line idle until a tick, from which a new grid begins. A tick that
// is past leaves it as it is.
func (e *Encoder) Rest(until int64) {
	if until > e.Now() {
		e.start, e.half = until, 0
	}
}

// bit puts a level on the line, idle where mark, for a number of half bits.
func (e *Encoder) bit(dst []edge.Edge, mark bool, halves int64) []edge.Edge {
	level := e.idle
	if !mark {
		level = e.idle.Not()
	}
	if level != e.level {
		dst = append(dst, edge.Edge{Tick: e.Now(), Level: level})
		e.level = level
	}
	e.half += halves
	return dst
}

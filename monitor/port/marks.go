package port

// A terminal that marks errors (PARMRK, termios(3)) hands over
//
//	FF 00 b    the character b, with an error of parity or framing
//	FF 00 00   a break, or a 0x00 with an error
//	FF FF      the character 0xFF
//
// and every other character as it is.
const (
	markByte = 0xFF
	markBad  = 0x00
)

// marks takes such a stream apart, in whatever pieces it comes: the state is
// carried from one read to the next.
type marks struct {
	state markState
	out   []byte // kept, so that a read costs no allocation
}

type markState uint8

const (
	markNone    markState = iota // between characters
	markBegun                    // after FF
	markSuspect                  // after FF 00
)

// Feed takes the next piece and emits runs of characters that are all good or
// all bad, in order; each run is lent for the call. What a mark that is still
// incomplete stands for comes with the rest of it.
func (m *marks) Feed(piece []byte, emit func(run []byte, bad bool)) {
	m.out = m.out[:0]
	bad := false
	put := func(c byte, b bool) {
		if b != bad && len(m.out) > 0 {
			emit(m.out, bad)
			m.out = m.out[:0]
		}
		bad = b
		m.out = append(m.out, c)
	}
	for _, c := range piece {
		switch {
		case m.state == markSuspect:
			m.state = markNone
			put(c, true)
		case m.state == markBegun && c == markBad:
			m.state = markSuspect
		case m.state == markBegun && c == markByte:
			m.state = markNone
			put(markByte, false)
		case m.state == markBegun: // no terminal sends that; nothing is dropped
			m.state = markNone
			put(markByte, false)
			put(c, false)
		case c == markByte:
			m.state = markBegun
		default:
			put(c, false)
		}
	}
	if len(m.out) > 0 {
		emit(m.out, bad)
	}
}

// Reset forgets an incomplete mark: the line was cut.
func (m *marks) Reset() { m.state = markNone }

package pulse

import "bytes"

// A sentence is framed as those of NMEA 0183 are: a dollar sign, fields separated by
// commas, an asterisk, and the exclusive or of the characters in between as two
// hexadecimal digits.
//
//	$PBPX,1F3,2,A0B1C2D3,BB8*hh    a pulse: number, output, rise, width
//	$PBPI,ref-8,500,8,0*hh         the board: name, tick in ns, outputs, pulses dropped

// sum is the exclusive or of characters.
func sum(text []byte) (s byte) {
	for _, b := range text {
		s ^= b
	}
	return s
}

// unframe takes a sentence, without its line end, apart: what stands between $ and *.
func unframe(line []byte) (text []byte, ok bool) {
	n := len(line)
	if n < 4 || line[0] != '$' || line[n-3] != '*' {
		return nil, false
	}
	high, okHigh := digit(line[n-2])
	low, okLow := digit(line[n-1])
	text = line[1 : n-3]
	return text, okHigh && okLow && high<<4|low == sum(text)
}

func digit(b byte) (byte, bool) {
	switch {
	case b >= '0' && b <= '9':
		return b - '0', true
	case b >= 'A' && b <= 'F':
		return b - 'A' + 10, true
	case b >= 'a' && b <= 'f':
		return b - 'a' + 10, true
	}
	return 0, false
}

// fields reads the fields of a sentence one after the other. Once one is not what
// was asked for, all is bad.
type fields struct {
	rest []byte
	bad  bool
	end  bool
}

func (f *fields) next() []byte {
	if f.end {
		f.bad = true
		return nil
	}
	field, rest, more := bytes.Cut(f.rest, []byte{','})
	f.rest, f.end = rest, !more
	return field
}

// hex reads up to so many hexadecimal digits.
func (f *fields) hex(digits int) (v uint32) {
	field := f.next()
	if len(field) == 0 || len(field) > digits {
		f.bad = true
	}
	for _, b := range field {
		d, ok := digit(b)
		f.bad = f.bad || !ok
		v = v<<4 | uint32(d)
	}
	return v
}

// number reads a decimal number up to a largest one.
func (f *fields) number(most int64) (v int64) {
	field := f.next()
	f.bad = f.bad || len(field) == 0 || len(field) > 18
	for _, b := range field {
		if b < '0' || b > '9' {
			f.bad = true
			return 0
		}
		v = v*10 + int64(b-'0')
	}
	f.bad = f.bad || v > most
	return v
}

// done reports whether all fields were good and none is left.
func (f *fields) done() bool { return !f.bad && f.end }

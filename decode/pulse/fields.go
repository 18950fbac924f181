package pulse

// fields reads the fields of a sentence one after the other. Once one is not what
// was asked for, all is bad.
type fields struct {
	rest []byte
	bad  bool
	end  bool
}

// next is the next field, empty where none is left.
func (f *fields) next() []byte {
	for i, b := range f.rest { // a few characters
		if b == ',' {
			field := f.rest[:i]
			f.rest = f.rest[i+1:]
			return field
		}
	}
	field := f.rest
	f.rest, f.end = nil, true
	return field
}

// pass goes on behind a number of so many digits, which may have from one to most.
func (f *fields) pass(digits, most int) {
	behind := f.rest[digits:]
	if f.end = len(behind) == 0; !f.end {
		f.bad = f.bad || behind[0] != ','
		behind = behind[1:]
	}
	f.rest = behind
	f.bad = f.bad || digits == 0 || digits > most
}

// hex reads up to n hexadecimal digits.
func (f *fields) hex(most int) (v uint32) {
	n := 0
	for _, b := range f.rest {
		d := digitValues[b]
		if d == noDigit {
			break
		}
		v = v<<4 | uint32(d)
		n++
	}
	f.pass(n, most)
	return v
}

// number reads a decimal number up to a largest one.
func (f *fields) number(most int64) (v int64) {
	n := 0
	for _, b := range f.rest {
		if b < '0' || b > '9' {
			break
		}
		v = v*10 + int64(b-'0')
		n++
	}
	f.pass(n, 18)
	f.bad = f.bad || v > most
	return v
}

// name reads the name of a board.
func (f *fields) name() []byte {
	field := f.next()
	f.bad = f.bad || len(field) == 0 || len(field) > longestName
	for _, b := range field {
		letter := b|0x20 >= 'a' && b|0x20 <= 'z'
		f.bad = f.bad || !letter && b != '-' && (b < '0' || b > '9')
	}
	return field
}

// done reports whether all fields were good and none is left.
func (f *fields) done() bool { return !f.bad && f.end }

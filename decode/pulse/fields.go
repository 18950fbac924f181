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

// hex reads up to n hexadecimal digits.
func (f *fields) hex(most int) (v uint32) {
	field := f.next()
	f.bad = f.bad || len(field) == 0 || len(field) > most
	all := byte(0)
	for _, b := range field {
		d := digitValues[b]
		all |= d
		v = v<<4 | uint32(d)
	}
	f.bad = f.bad || all > 0xF
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

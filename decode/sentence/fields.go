package sentence

// LongestName is how long the name of a board, or of a phone, can be, characters.
const LongestName = 24

// Fields reads the fields of a sentence one after the other. Once one is not what
// was asked for, all is bad.
type Fields struct {
	Rest []byte
	bad  bool
	end  bool
}

// Next is the next field, empty where none is left.
func (f *Fields) Next() []byte {
	for i, b := range f.Rest { // a few characters
		if b == ',' {
			field := f.Rest[:i]
			f.Rest = f.Rest[i+1:]
			return field
		}
	}
	field := f.Rest
	f.Rest, f.end = nil, true
	return field
}

// pass goes on behind a number of so many digits, which may have from one to most.
func (f *Fields) pass(digits, most int) {
	behind := f.Rest[digits:]
	if f.end = len(behind) == 0; !f.end {
		f.bad = f.bad || behind[0] != ','
		behind = behind[1:]
	}
	f.Rest = behind
	f.bad = f.bad || digits == 0 || digits > most
}

// Hex reads up to n hexadecimal digits.
func (f *Fields) Hex(most int) (v uint32) {
	n := 0
	for _, b := range f.Rest {
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

// Number reads a decimal number up to a largest one.
func (f *Fields) Number(most int64) (v int64) {
	n := 0
	for _, b := range f.Rest {
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

// Signed reads a decimal number with its sign, up to a largest one either way.
func (f *Fields) Signed(most int64) int64 {
	if len(f.Rest) > 0 && f.Rest[0] == '-' {
		f.Rest = f.Rest[1:]
		return -f.Number(most)
	}
	return f.Number(most)
}

// Name reads a name: letters, digits and hyphens.
func (f *Fields) Name() []byte {
	field := f.Next()
	f.bad = f.bad || len(field) == 0 || len(field) > LongestName
	for _, b := range field {
		letter := b|0x20 >= 'a' && b|0x20 <= 'z'
		f.bad = f.bad || !letter && b != '-' && (b < '0' || b > '9')
	}
	return field
}

// Done reports whether all fields were good and none is left.
func (f *Fields) Done() bool { return !f.bad && f.end }

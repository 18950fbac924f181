package tilt

import "strconv"

// A sentence is framed as those of NMEA 0183 are, like those of a capture board:
//
//	$PBTA,5C1,1F3,A0B1C2D3,32761,512,-98,12,150,-320,8*hh   an attitude: sender, number, time in µs,
//	                                                       quaternion, rates of turn
//	$PBTA,5C1,1F3,A0B1C2D3,32761,512,-98,12,,,*hh           the same without a gyroscope
//	$PBTI,5C1,phone,0,R*hh                                 the phone: name, turn of its screen, running or hidden
//
// Sender, number and time are hexadecimal and go round at 2^16, 2^16 and 2^32.
const (
	attitudeKind = "PBTA"
	statusKind   = "PBTI"

	// longest is the longest sentence of NMEA 0183, characters with its line end (from memory).
	longest = 82
	// longestName is how long the name of a phone can be, characters.
	longestName = 24
	// fastest is the highest rate of turn that can be said, hundredths of a degree a second: no
	// phone's gyroscope reads more than 2000 degrees a second (common practice).
	fastest = 400_000
)

// AppendAttitude appends the sentence of an attitude; number counts the sentences of the sender.
func AppendAttitude(dst []byte, number uint16, a *Attitude) []byte {
	begin := len(dst)
	dst = append(dst, "$"+attitudeKind+","...)
	for _, v := range []uint64{uint64(a.Sender), uint64(number), uint64(uint32(a.Time / 1000))} {
		dst = append(strconv.AppendUint(dst, v, 16), ',')
	}
	for _, v := range a.Turn {
		dst = append(strconv.AppendInt(dst, int64(v), 10), ',')
	}
	for i, v := range a.Rate {
		if i > 0 {
			dst = append(dst, ',')
		}
		if a.Gyro {
			dst = strconv.AppendInt(dst, int64(v), 10)
		}
	}
	return appendEnd(dst, begin)
}

// AppendStatus appends the sentence in which a phone speaks of itself.
func AppendStatus(dst []byte, s *Status) []byte {
	begin := len(dst)
	dst = append(dst, "$"+statusKind+","...)
	dst = append(strconv.AppendUint(dst, uint64(s.Sender), 16), ',')
	dst = append(append(dst, s.Name...), ',')
	dst = strconv.AppendInt(dst, int64(s.Screen), 10)
	if s.Hidden {
		return appendEnd(append(dst, ",H"...), begin)
	}
	return appendEnd(append(dst, ",R"...), begin)
}

// appendEnd ends the sentence that began at a place of dst.
func appendEnd(dst []byte, begin int) []byte {
	const digits = "0123456789ABCDEF"
	s := sum(dst[begin+1:])
	return append(dst, '*', digits[s>>4], digits[s&0xF], '\r', '\n')
}

// sum is the exclusive or of characters.
func sum(text []byte) (s byte) {
	for _, b := range text {
		s ^= b
	}
	return s
}

// unframe takes a sentence, with its line end, apart: what stands between $ and *.
func unframe(line []byte) (text []byte, ok bool) {
	n := len(line) - 1
	if n > 0 && line[n-1] == '\r' {
		n--
	}
	if n < 4 || line[0] != '$' || line[n-3] != '*' {
		return nil, false
	}
	want, ok := hex(line[n-2:n], 2)
	text = line[1 : n-3]
	return text, ok && byte(want) == sum(text)
}

// fields reads the fields of a sentence one after the other. Once one is not what was asked
// for, all is bad.
type fields struct {
	rest []byte
	bad  bool
	end  bool
}

// next is the next field, empty where none is left.
func (f *fields) next() []byte {
	f.bad = f.bad || f.end
	for i, b := range f.rest {
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

// hex reads up to so many hexadecimal digits.
func (f *fields) hex(most int) uint32 {
	v, ok := hex(f.next(), most)
	f.bad = f.bad || !ok
	return v
}

// number reads a decimal number with its sign, up to a largest one either way.
func (f *fields) number(most int32) int32 {
	v, ok := decimal(f.next())
	f.bad = f.bad || !ok || v > most || v < -most
	return v
}

// rates reads three rates of turn: none where all are empty.
func (f *fields) rates() (rate [3]int32, has bool) {
	empty := 0
	for i := range rate {
		field := f.next()
		if len(field) == 0 {
			empty++
			continue
		}
		v, ok := decimal(field)
		f.bad = f.bad || !ok || v > fastest || v < -fastest
		rate[i] = v
	}
	f.bad = f.bad || empty%3 != 0
	return rate, empty == 0
}

// name reads the name of a phone.
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

func hex(text []byte, most int) (v uint32, ok bool) {
	if len(text) == 0 || len(text) > most {
		return 0, false
	}
	for _, b := range text {
		switch {
		case b >= '0' && b <= '9':
			v = v<<4 | uint32(b-'0')
		case b|0x20 >= 'a' && b|0x20 <= 'f':
			v = v<<4 | uint32(b|0x20-'a'+10)
		default:
			return 0, false
		}
	}
	return v, true
}

// decimal reads up to seven digits behind a sign.
func decimal(text []byte) (v int32, ok bool) {
	negative := len(text) > 0 && text[0] == '-'
	if negative {
		text = text[1:]
	}
	if len(text) == 0 || len(text) > 7 {
		return 0, false
	}
	for _, b := range text {
		if b < '0' || b > '9' {
			return 0, false
		}
		v = v*10 + int32(b-'0')
	}
	if negative {
		v = -v
	}
	return v, true
}

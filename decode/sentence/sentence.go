// Package sentence frames and reads what a capture board and a phone print, as sentences of NMEA 0183 are
// framed: a dollar sign, fields separated by commas, an asterisk, the exclusive or of the characters in between
// as two hexadecimal digits, carriage return, line feed. (The return may be lacking.) Nothing allocates.
package sentence

import "encoding/binary"

const digits = "0123456789ABCDEF"

// AppendHex appends a number as hexadecimal digits, without zeros before it.
func AppendHex(dst []byte, v uint32) []byte {
	shift := 28
	for shift > 0 && v>>shift == 0 {
		shift -= 4
	}
	for ; shift >= 0; shift -= 4 {
		dst = append(dst, digits[v>>shift&0xF])
	}
	return dst
}

// AppendEnd ends the sentence that began at a place of dst.
func AppendEnd(dst []byte, begin int) []byte {
	s := sum(dst[begin+1:])
	return append(dst, '*', digits[s>>4], digits[s&0xF], '\r', '\n')
}

// sum is the exclusive or of characters.
func sum(text []byte) (s byte) {
	eight := uint64(0) // that of each eighth character
	for ; len(text) >= 8; text = text[8:] {
		eight ^= binary.LittleEndian.Uint64(text)
	}
	for ; eight > 0; eight >>= 8 {
		s ^= byte(eight)
	}
	for _, b := range text {
		s ^= b
	}
	return s
}

// Unframe takes a sentence, with its line end, apart: what stands between $ and *.
func Unframe(line []byte) (text []byte, ok bool) {
	n := len(line)
	if n > 0 && line[n-1] == '\n' {
		n--
	}
	if n > 0 && line[n-1] == '\r' {
		n--
	}
	if n < 4 || line[0] != '$' || line[n-3] != '*' {
		return nil, false
	}
	high, low := digitValues[line[n-2]], digitValues[line[n-1]]
	text = line[1 : n-3]
	return text, high <= 0xF && low <= 0xF && high<<4|low == sum(text)
}

// digitValues has the value of each character as a hexadecimal digit, noDigit where it is none.
var digitValues = func() (values [256]byte) {
	for b := range values {
		values[b] = digitValue(byte(b))
	}
	return values
}()

const noDigit = 0xFF

func digitValue(b byte) byte {
	switch {
	case b >= '0' && b <= '9':
		return b - '0'
	case b >= 'A' && b <= 'F':
		return b - 'A' + 10
	case b >= 'a' && b <= 'f':
		return b - 'a' + 10
	}
	return noDigit
}

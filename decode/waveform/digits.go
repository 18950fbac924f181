package waveform

import (
	"encoding/binary"
	"math/bits"
)

// tens are the powers of ten that fewer than eight digits shift by.
var tens = [8]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7}

// digits reads decimal digits from pos on, up to the first byte that is none,
// and reports where that is. Eight at a time: in a word of eight bytes, those which
// are no digits show in their top bits; the digits before the first of them are
// moved to the end of the word, so that zeros stand in front, and then joined by
// pairs, fours and eights. The number is right for up to eighteen digits.
func digits(buf []byte, pos int) (t uint64, end int) {
	for pos+8 <= len(buf) {
		word := binary.LittleEndian.Uint64(buf[pos:]) ^ 0x3030303030303030
		others := (word + 0x7676767676767676 | word) & 0x8080808080808080
		if others == 0 {
			t = t*1e8 + joined(word)
			pos += 8
			continue
		}
		n := bits.TrailingZeros64(others) / 8
		return t*tens[n&7] + joined(word<<(64-8*n)), pos + n
	}
	for pos < len(buf) && buf[pos]-'0' <= 9 {
		t = t*10 + uint64(buf[pos]-'0')
		pos++
	}
	return t, pos
}

// joined is the number of eight digits, the first one lowest.
func joined(word uint64) uint64 {
	const low = 0x000000FF000000FF
	word = word*10 + word>>8 // pairs, in every other byte
	return ((word&low)*(100+1e6<<32) + (word>>16&low)*(1+1e4<<32)) >> 32
}

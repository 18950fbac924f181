package waveform

import (
	"math"
	"math/bits"
)

// ticks reads a decimal number, such as -0.5 or 1.25e-05, times a power of ten,
// to the nearest whole number, halves away from zero. Not ok: it is none, or
// does not fit.
func ticks(text []byte, shift int, comma bool) (n int64, ok bool) {
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		text = text[1:]
	}
	m, exponent, rest, ok := mantissa(text, comma)
	if !ok {
		return 0, false
	}
	e, ok := exponentOf(rest)
	if !ok {
		return 0, false
	}
	size, ok := scaled(m, exponent+e+shift)
	if !ok {
		return 0, false
	}
	if negative {
		return -int64(size), true
	}
	return int64(size), true
}

// mantissa reads digits with or without a point: m·10^exponent. Digits beyond
// the nineteenth are left away.
func mantissa(text []byte, comma bool) (m uint64, exponent int, rest []byte, ok bool) {
	const most = (math.MaxUint64 - 9) / 10 // another digit fits
	point := false
	for i, c := range text {
		digit := c - '0'
		switch {
		case digit <= 9 && m <= most:
			m = m*10 + uint64(digit)
			if point {
				exponent--
			}
			ok = true
		case digit <= 9:
			if !point {
				exponent++
			}
		case !point && (c == '.' || c == ',' && comma):
			point = true
		default:
			return m, exponent, text[i:], ok
		}
	}
	return m, exponent, nil, ok
}

// exponentOf reads what may stand behind a mantissa: nothing, or e and a number.
func exponentOf(text []byte) (e int, ok bool) {
	if len(text) == 0 {
		return 0, true
	}
	if text[0] != 'e' && text[0] != 'E' {
		return 0, false
	}
	text = text[1:]
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		text = text[1:]
	}
	const most = 1 << 20 // larger ones make no difference
	for _, c := range text {
		if c < '0' || c > '9' {
			return 0, false
		}
		e = min(most, e*10+int(c-'0'))
	}
	if negative {
		e = -e
	}
	return e, len(text) > 0
}

// scaled is m·10^n, rounded.
func scaled(m uint64, n int) (size uint64, ok bool) {
	switch {
	case m == 0 || n < -19:
		return 0, true // 2^64·10^-20 is less than a half
	case n < 0:
		p := power10(-n)
		size = m / p
		if m%p >= p-p/2 {
			size++
		}
	case n > 19:
		return 0, false
	default:
		hi, lo := bits.Mul64(m, power10(n))
		if hi > 0 {
			return 0, false
		}
		size = lo
	}
	return size, size <= math.MaxInt64
}

package waveform

import (
	"strings"

	"benchproof.example/decode/edge"
)

// units are the units of time that both formats know: 10^-exponent seconds.
var units = []struct {
	name     string
	exponent int
}{{"s", 0}, {"ms", 3}, {"us", 6}, {"ns", 9}, {"ps", 12}, {"fs", 15}}

// unitOf is the unit of a name, in small letters or capitals.
func unitOf(name string) (exponent int, ok bool) {
	name = strings.ToLower(name)
	for _, u := range units {
		if u.name == name {
			return u.exponent, true
		}
	}
	return 0, false
}

// unitNames lists the units for a sentence.
const unitNames = "s, ms, us, ns, ps or fs"

// power10 is 10^n for n from 0 to 19.
func power10(n int) uint64 {
	p := uint64(1)
	for range n {
		p *= 10
	}
	return p
}

// rateOf is n times a unit as nanoseconds, in lowest terms; n is a power of ten.
func rateOf(n int64, exponent int) edge.Rate {
	const nano = 9
	if exponent <= nano {
		return edge.Rate{Num: n * int64(power10(nano-exponent)), Den: 1}
	}
	den := int64(power10(exponent - nano))
	for n >= 10 && den >= 10 {
		n, den = n/10, den/10
	}
	return edge.Rate{Num: n, Den: den}
}

package waveform

import (
	"fmt"
	"math"
)

// time takes a time: # and ticks.
func (d *dump) time(buf []byte, at int) (int, error) {
	t, pos := digits(buf, at+1)
	if pos == at+1 || pos < len(buf) && buf[pos] > ' ' {
		return at, d.src.failed(pos, "found "+shown(buf[at:max(pos, wordEnd(buf, at))])+" for a time; want # and digits")
	}
	const safe = 18 // digits that surely fit
	if pos-at-1 > safe {
		var fits bool
		if t, fits = long(buf[at+1 : pos]); !fits {
			return at, d.src.failed(at, fmt.Sprintf("found the time %s; want at most %d ticks", shown(buf[at:pos]), int64(math.MaxInt64)))
		}
	}
	if int64(t) < d.tick {
		return at, d.src.failed(at, fmt.Sprintf("found time %d after %d; want times that never decrease", t, d.tick))
	}
	d.tick = int64(t)
	return pos, nil
}

// long reads digits that may be too many, or zeros.
func long(digits []byte) (t uint64, fits bool) {
	for _, c := range digits {
		if t > math.MaxInt64/10 {
			return 0, false
		}
		t = t*10 + uint64(c-'0')
	}
	return t, t <= math.MaxInt64
}

package sheet

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// What a number without a unit may be.
const (
	perhapsPercentage = " (if it is a percentage, say which widths 0 %% and 100 %% are, as in percent: {zero: 1500, " +
		"full: 2012}, and write %d %%: +100 %% is 1900, 2000 or 2012 us, by maker)"
	perhapsCount = " (if it is a count of the bus, that is %s)"
)

// percentages are ways to write the travel that a transmitter shows: to parts per
// million, with a sign where a person writes one.
var percentages = quantity{[]notation{{"%", 4}}, "a percentage such as +100 % or -87.5 %, to four decimal places"}

// mostPercent bounds a percentage, parts per million: transmitters go to 150 %.
const mostPercent = 2_000_000

// travel ties percentages to widths, which differ from maker to maker: +100 % is
// 1900, 2000 or 2012 µs.
type travel struct {
	zero, full unit.Width // widths of 0 % and of +100 %, ns; both 0: the sheet does not say
}

// percent reads which widths 0 % and +100 % are.
func (r *reader) percent(n *node) {
	if n == nil {
		return
	}
	r.percentless = !r.clean(func() {
		rec := r.record(n, "percent")
		const want = "a width in microseconds, no percentage"
		least, most := r.reach()
		zero, okZero := r.widthBetween(rec.get("zero"), least, most, want)
		full, okFull := r.widthBetween(rec.get("full"), least, most, want)
		if okZero && okFull && zero == full {
			r.refuse(n, "0 % and 100 % at the same width", "two different widths")
		}
		r.travel = travel{zero, full}
	})
}

// percentage reports a value written as one.
func (n *node) percentage() bool { return n.shape == word && strings.HasSuffix(n.text, "%") }

// ofPercent reads a percentage as a width, ns, rounded to the nearest.
func (r *reader) ofPercent(n *node) (unit.Width, bool) {
	if r.percentless {
		return 0, false
	}
	if r.travel == (travel{}) {
		r.refuse(n, n.text+", and this sheet does not say which widths 0 % and 100 % are (+100 % is 1900, 2000 or 2012 us, by maker)",
			"percent: {zero: 1500, full: 2012} at the top of the sheet with your transmitter's widths, or a width in microseconds,")
		return 0, false
	}
	plain := *n
	plain.text = strings.TrimLeft(strings.TrimPrefix(n.text, "+"), " ")
	if plain.text != n.text && strings.HasPrefix(plain.text, "-") {
		plain.text = n.text // "+-5 %" is none
	}
	ppm, ok := r.between(&plain, percentages, -mostPercent, mostPercent, "a percentage from -200 % to +200 %")
	if !ok {
		return 0, false
	}
	const million = 1_000_000
	return r.travel.zero + unit.Width(roundedShare(int64(r.travel.full-r.travel.zero)*ppm, million)), true
}

// roundedShare divides, rounded to the nearest, halves away from zero.
func roundedShare(a, b int64) int64 {
	if a < 0 {
		return -((-a + b/2) / b)
	}
	return (a + b/2) / b
}

// width reads a pulse width that the bus can carry: one that the scale ties to
// a count within its range. It may be written as a percentage.
func (r *reader) width(n *node) (unit.Width, bool) {
	if n == nil {
		return 0, false
	}
	read := r.plainWidth
	if n.percentage() {
		read = r.ofPercent
	}
	value, ok := read(n)
	if !ok {
		return 0, false
	}
	lo, hi := r.reach()
	if value < lo || value > hi {
		found := micros(value)
		if n.percentage() {
			found = n.text + " (" + found + ")"
		}
		r.refuse(n, found+", which the bus cannot carry by this sheet's scale", fmt.Sprintf("a width from %s to %s", micros(lo), micros(hi))+r.meant(n))
		return 0, false
	}
	return value, true
}

// meant says what a number without a unit that is no width may be, and how it becomes
// one: a percentage, or a count of the bus.
func (r *reader) meant(n *node) string {
	value, ok := decimal(n.text, 0)
	if n.shape != number || !ok || r.scaleless {
		return ""
	}
	const most = 150 // percent
	if value >= -most && value <= most {
		return fmt.Sprintf(perhapsPercentage, value)
	}
	if value > 0 && value < 700 {
		return fmt.Sprintf(perhapsCount, micros(r.sheet.Width(uint32(value))))
	}
	return ""
}

package sheet

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"benchproof.example/monitor/unit"
)

// notation is one way to write a quantity: the number, then the suffix.
type notation struct {
	suffix string
	digits int // decimal places of the suffix's unit that the result counts
}

// quantity says how a kind of value is written. Longer suffixes come first.
type quantity struct {
	units []notation
	want  string
}

var (
	widths = quantity{ // to ns; micro sign and Greek mu look the same
		[]notation{{"us", 3}, {"\u00B5s", 3}, {"\u03BCs", 3}, {"", 3}},
		"a width in microseconds such as 1500 or 1500.5 us, no finer than a nanosecond",
	}
	spans = quantity{[]notation{{"ms", 6}, {"s", 9}}, "a time with its unit such as 1.5s or 300ms"} // to ns
	// Shares are parts per million.
	shares     = quantity{[]notation{{"%", 4}}, `a share with its unit such as "0.1 %", to four decimal places`}
	wholeHours = quantity{[]notation{{"h", 0}}, "whole hours with their unit such as 10h"}
	wholes     = quantity{[]notation{{"", 0}}, "a whole number"}
	// weights are parts per million of the channel's travel.
	weights = quantity{[]notation{{"", 6}}, `a number such as 1.0 or -0.5, or "?" for one to be found`}
)

var plainDecimal = regexp.MustCompile(`^(-?)(0|[1-9][0-9]{0,8})(?:\.([0-9]+))?$`)

// decimal reads a plain decimal number exactly, in units of 10^-digits.
func decimal(text string, digits int) (int64, bool) {
	part := plainDecimal.FindStringSubmatch(text)
	if part == nil {
		return 0, false
	}
	fraction := strings.TrimRight(part[3], "0")
	if len(fraction) > digits {
		return 0, false
	}
	value, err := strconv.ParseInt(part[1]+part[2]+fraction+strings.Repeat("0", digits-len(fraction)), 10, 64)
	return value, err == nil
}

// traps are ways to write a number that programs read differently from people.
var traps = []struct {
	form *regexp.Regexp
	why  string
}{
	{regexp.MustCompile(`^[-+]?0[xob][0-9A-Fa-f_]+$`), "which is not a decimal number"},
	{regexp.MustCompile(`^[-+]?[0-9]*_[0-9_.]*$`), "a number with an underscore"},
	{regexp.MustCompile(`^[-+]?[0-9]*\.?[0-9]*[eE][-+]?[0-9]+$`), "a number with an exponent"},
	{regexp.MustCompile(`^[-+]?0[0-9]+(\.[0-9]*)?$`), "a number with a leading zero"},
	{regexp.MustCompile(`^\+`), "a number with a plus sign"},
	{regexp.MustCompile(`^-?(\.[0-9]*|[0-9]+\.)$`), "a number with nothing on one side of its point"},
}

// quantity reads a value with its unit. It returns false when there is none,
// which it has reported unless the node is nil.
func (r *reader) quantity(n *node, q quantity) (int64, bool) {
	if n == nil || n.shape == refused {
		return 0, false
	}
	if n.shape != word && n.shape != number {
		r.refuse(n, n.found(), q.want)
		return 0, false
	}
	bare := n.text
	for _, u := range q.units {
		text, ok := strings.CutSuffix(n.text, u.suffix)
		if !ok {
			continue
		}
		bare = strings.TrimRight(text, " ")
		if u.suffix == "" && n.quoted {
			r.refuse(n, quote(n.text)+" in quotes"+n.where(), q.want)
			return 0, false
		}
		if value, ok := decimal(bare, u.digits); ok {
			return value, true
		}
		break
	}
	r.refuse(n, trap(n, bare), q.want)
	return 0, false
}

func trap(n *node, bare string) string {
	for _, t := range traps {
		if t.form.MatchString(bare) {
			return fmt.Sprintf("%s%s, %s", n.text, n.where(), t.why)
		}
	}
	return n.found()
}

// whole reads a whole number within the bounds of its row.
func (r *reader) whole(n *node) (int, bool) {
	if n == nil {
		return 0, false
	}
	return r.wholeBetween(n, n.row.Least, n.row.Most)
}

// wholeBetween reads a whole number from lo to hi; its row says what it counts.
func (r *reader) wholeBetween(n *node, lo, hi int64) (int, bool) {
	if n == nil || n.shape == refused {
		return 0, false
	}
	q := wholes
	q.want = fmt.Sprintf("%s, a whole number from %d to %d,", n.row.Noun, lo, hi)
	if lo == hi {
		q.want = fmt.Sprintf("%s %d", n.row.Noun, lo)
	}
	value, ok := r.quantity(n, q)
	if ok && (value < lo || value > hi) {
		r.refuse(n, n.found(), q.want)
		return 0, false
	}
	return int(value), ok
}

// between reads a quantity from lo to hi, both in the quantity's small unit.
func (r *reader) between(n *node, q quantity, lo, hi int64, want string) (int64, bool) {
	value, ok := r.quantity(n, q)
	if ok && !n.assumed && (value < lo || value > hi) {
		r.refuse(n, n.text+n.where(), want)
		return 0, false
	}
	return value, ok
}

// plainWidth reads a width that is no percentage.
func (r *reader) plainWidth(n *node) (unit.Width, bool) {
	value, ok := r.quantity(n, widths)
	return unit.Width(value), ok
}

// widthBetween reads a width from lo to hi.
func (r *reader) widthBetween(n *node, lo, hi unit.Width, want string) (unit.Width, bool) {
	value, ok := r.between(n, widths, int64(lo), int64(hi), want)
	return unit.Width(value), ok
}

// ownWidth reads a width within the bounds of its row.
func (r *reader) ownWidth(n *node) (unit.Width, bool) {
	if n == nil {
		return 0, false
	}
	k := n.row
	want := fmt.Sprintf("%s from %s to %s", k.Noun, micros(unit.Width(k.Least)), micros(unit.Width(k.Most)))
	if k.Least == 1 {
		want = fmt.Sprintf("%s above 0 and up to %s", k.Noun, micros(unit.Width(k.Most)))
	}
	return r.widthBetween(n, unit.Width(k.Least), unit.Width(k.Most), want)
}

// duration reads a length of time.
func (r *reader) duration(n *node) (unit.Duration, bool) {
	value, ok := r.between(n, spans, int64(unit.Millisecond), int64(unit.Minute), "a time from 1ms to 60s")
	return unit.Duration(value), ok
}

// micros writes a width as a sheet does.
func micros(ns unit.Width) string {
	sign := ""
	if ns < 0 {
		sign, ns = "-", -ns
	}
	text := fmt.Sprintf("%s%d.%03d", sign, ns/1000, ns%1000)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".") + " us"
}

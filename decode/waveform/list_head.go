package waveform

import (
	"errors"
	"io"
	"strings"
	"unicode"
)

// The first line of a list that is neither empty nor a remark (# or ; in front)
// is its header. It reports:
//
//	delimiter   tab, semicolon or comma: the first of these in that order that
//	            occurs outside of quotes
//	first name  the time; its last word is the unit: "time_ns", "Time [s]",
//	            "t (us)", "time/ms", "µs". A word ends where a letter does not
//	            follow. Units are s (sec, second, seconds), ms, us (µs), ns, ps
//	            and fs, in small letters or capitals
//	the others  the signals. A column without a name is passed over
//
// Names may stand in double quotes; a quote in there is doubled.
func openList(src *source, out *head) (format, error) {
	src.skipMark()
	l := &list{src: src}
	line, err := l.header()
	if err != nil {
		return nil, err
	}
	l.delimiter = delimiterOf(line)
	names := split(line, l.delimiter)
	unit, ok := unitOfName(names[0])
	if !ok {
		return nil, src.failed(l.headerAt, "found the first column "+shown([]byte(names[0]))+
			", whose last word is no unit of time; want e.g. time_ns, Time [s] or t (us), with one of "+unitNames)
	}
	if len(names) < 2 {
		return nil, src.failed(l.headerAt, "found one column; want the time and a column for each signal, e.g. time_ns,bus")
	}
	const pico, femto = 12, 15
	tick := pico
	if unit >= pico {
		tick = femto
	}
	l.shift = tick - unit
	l.fields, l.levels = make([]field, len(names)), make([]byte, len(names))
	l.lines = make([]int, len(names))
	for i, name := range names {
		l.lines[i] = none
		if i > 0 && name != "" {
			l.lines[i] = len(out.signals)
			out.signals = append(out.signals, Signal{Name: name, Bits: 1, line: l.lines[i]})
		}
	}
	out.lines, out.rate = len(out.signals), rateOf(1, tick)
	return l, nil
}

const noHeader = "found the end of the file; want a header, e.g. time_ns,bus"

// header takes lines up to the header and lends it.
func (l *list) header() ([]byte, error) {
	for {
		line, at, err := l.line()
		switch {
		case errors.Is(err, io.EOF):
			return nil, l.src.failed(l.src.pos, noHeader)
		case err != nil:
			return nil, err
		case !isRemark(line):
			l.headerAt = at
			return line, nil
		case l.ended:
			return nil, l.src.failed(at+len(line), noHeader)
		}
	}
}

// isRemark reports a line that shows nothing.
func isRemark(line []byte) bool {
	c := firstOf(line)
	return c == 0 || c == '#' || c == ';'
}

// firstOf is the first byte of a line that is no white space, 0 for none.
func firstOf(line []byte) byte {
	for _, c := range line {
		if !isSpace(c) {
			return c
		}
	}
	return 0
}

func delimiterOf(line []byte) byte {
	var found [256]bool
	quoted := false
	for _, c := range line {
		if c == '"' {
			quoted = !quoted
		}
		found[c] = found[c] || !quoted
	}
	for _, d := range []byte{'\t', ';'} {
		if found[d] {
			return d
		}
	}
	return ','
}

// split is the names of a header.
func split(line []byte, delimiter byte) (names []string) {
	quoted, from := false, 0
	for i := 0; i <= len(line); i++ {
		switch {
		case i == len(line) || !quoted && line[i] == delimiter:
			names = append(names, unquoted(string(line[from:i])))
			from = i + 1
		case line[i] == '"':
			quoted = !quoted
		}
	}
	return names
}

func unquoted(name string) string {
	name = strings.TrimSpace(name)
	if len(name) > 1 && name[0] == '"' && name[len(name)-1] == '"' {
		name = strings.ReplaceAll(name[1:len(name)-1], `""`, `"`)
	}
	return strings.TrimSpace(name)
}

// micro are the ways in which a micro sign is written: two of Unicode, and the
// byte of ISO 8859-1.
var micro = strings.NewReplacer("µ", "u", "μ", "u", "\xb5", "u")

// unitOfName is the unit that the last word of a column's name is.
func unitOfName(name string) (exponent int, ok bool) {
	words := strings.FieldsFunc(micro.Replace(name), func(r rune) bool { return !unicode.IsLetter(r) })
	if len(words) == 0 {
		return 0, false
	}
	last := strings.ToLower(words[len(words)-1])
	switch last {
	case "sec", "second", "seconds":
		last = "s"
	}
	return unitOf(last)
}

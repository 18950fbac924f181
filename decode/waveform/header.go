package waveform

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"benchproof.example/decode/edge"
)

// Bounds of what is kept of a header.
const (
	mostSignals = 1 << 16
	mostNames   = 8 << 20 // bytes, all names and scopes together
)

// header reads what stands before $enddefinitions:
//
//	$timescale 10 ns $end
//	$scope module top $end
//	$var wire 1 ! data [0] $end
//	$upscope $end
//
// White space may be anything anywhere.
type header struct {
	src    *source
	head   *head
	codes  codes
	scopes []string // the path at each depth
	names  int      // bytes kept
	place  place    // of the last word
	lines  int64    // line ends passed
	begun  int64    // offset of the line that the reading is in
}

// place is one in the file, as an Error has it. The header counts lines itself,
// since the beginning of a declaration may have been let go before its end is
// found wrong.
type place struct{ line, column int64 }

func openDump(src *source, out *head) (format, error) {
	src.skipMark()
	h := &header{src: src, head: out, begun: src.begun}
	for {
		word, err := h.word()
		if err != nil {
			return nil, err
		}
		at := h.place
		if string(word) == "$enddefinitions" {
			return h.end(at)
		}
		if err := h.command(string(word), at); err != nil {
			return nil, err
		}
	}
}

// end closes the header.
func (h *header) end(at place) (format, error) {
	if h.head.rate == (edge.Rate{}) {
		return nil, h.failed(at, "found no $timescale before $enddefinitions; want one, e.g. $timescale 1 ns $end")
	}
	if len(h.codes.table) == 0 {
		h.codes.grow()
	}
	h.head.lines = len(h.codes.all)
	return &dump{src: h.src, codes: h.codes, last: none}, h.skip()
}

func (h *header) command(word string, at place) error {
	switch word {
	case "$timescale":
		return h.timescale(at)
	case "$scope":
		return h.scope(at)
	case "$upscope":
		if n := len(h.scopes); n > 0 {
			h.scopes = h.scopes[:n-1]
		}
		return h.skip()
	case "$var":
		return h.signal(at)
	}
	if word == "" {
		return h.failed(at, "found a word that does not end; want a declaration, e.g. $var wire 1 ! bus $end")
	}
	if !strings.HasPrefix(word, "$") || strings.HasPrefix(word, "$dump") {
		return h.failed(at, "found "+shown([]byte(word))+" before $enddefinitions; want a declaration, e.g. $var wire 1 ! bus $end")
	}
	return h.skip()
}

func (h *header) failed(at place, text string) error {
	return &Error{Line: at.line, Column: at.column, Text: text}
}

// word is the next one, lent until the next call, and empty if it is too long to
// be kept.
func (h *header) word() ([]byte, error) {
	s := h.src
	for s.pos < s.end || s.more() {
		c := s.buf[s.pos]
		if !isSpace(c) {
			h.place = place{1 + h.lines, 1 + s.taken() - h.begun}
			return h.wordHere()
		}
		s.pos++
		if c == '\n' {
			h.lines++
			h.begun = s.taken()
		}
	}
	return nil, h.ended()
}

func (h *header) wordHere() (word []byte, err error) {
	s := h.src
	n, long := 0, false
	for {
		for ; s.pos+n < s.end; n++ {
			if !isSpace(s.buf[s.pos+n]) {
				continue
			}
			if !long {
				word = s.buf[s.pos : s.pos+n]
			}
			s.pos += n
			return word, nil
		}
		if s.more() {
			continue
		}
		if !s.full() {
			return nil, h.ended()
		}
		s.pos, n, long = s.end, 0, true
	}
}

// ended is the error of a header that stops.
func (h *header) ended() error {
	if !errors.Is(h.src.err, io.EOF) {
		return h.src.err
	}
	return h.src.failed(h.src.end, "found the end of the file within the header; want $enddefinitions $end")
}

// skip passes over what a command holds.
func (h *header) skip() error {
	for {
		word, err := h.word()
		if err != nil || string(word) == "$end" {
			return err
		}
	}
}

// words is what a command holds, up to $end.
func (h *header) words(at place, command string) ([]string, error) {
	const most = 64
	var words []string
	for {
		word, err := h.word()
		switch {
		case err != nil:
			return nil, err
		case string(word) == "$end":
			return words, nil
		case len(word) == 0 || len(words) == most || len(word) > 4096:
			return nil, h.failed(at, "found "+command+" with more than a declaration needs; want $end behind it")
		}
		words = append(words, string(word))
	}
}

func (h *header) timescale(at place) error {
	words, err := h.words(at, "$timescale")
	if err != nil {
		return err
	}
	text := strings.Join(words, "")
	number := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
	exponent, ok := unitOf(text[len(number):])
	if !ok || number != "1" && number != "10" && number != "100" {
		return h.failed(at, "found the timescale "+shown([]byte(text))+"; want 1, 10 or 100 and one of "+unitNames)
	}
	n, _ := strconv.ParseInt(number, 10, 64)
	h.head.rate = rateOf(n, exponent)
	return nil
}

func (h *header) scope(at place) error {
	words, err := h.words(at, "$scope")
	if err != nil {
		return err
	}
	name := ""
	if len(words) > 1 {
		name = plainName(words[1:])
	}
	if n := len(h.scopes); n > 0 && h.scopes[n-1] != "" {
		name = h.scopes[n-1] + "." + name
	}
	h.scopes = append(h.scopes, name)
	return h.keep(at, len(name))
}

// signal reads $var: type, width, code, name.
func (h *header) signal(at place) error {
	words, err := h.words(at, "$var")
	if err != nil {
		return err
	}
	if len(words) < 4 {
		return h.failed(at, "found $var "+strings.Join(words, " ")+" $end; want type, width, code and name: $var wire 1 ! bus $end")
	}
	width, err := strconv.Atoi(words[1])
	if err != nil || width < 0 {
		return h.failed(at, "found the width "+shown([]byte(words[1]))+" of a signal; want a number of bits")
	}
	switch words[0] {
	case "real", "realtime", "shortreal", "string", "event":
		width = 0
	case "port":
		return h.failed(at, "found an extended dump (of ports); want one of four states, as $dumpvars makes it")
	}
	if len(h.head.signals) == mostSignals {
		return h.failed(at, fmt.Sprintf("found more than %d signals; want a dump of fewer", mostSignals))
	}
	s := Signal{Name: plainName(words[3:]), Bits: width, line: h.codes.add(words[2])}
	if n := len(h.scopes); n > 0 {
		s.Scope = h.scopes[n-1]
	}
	h.head.signals = append(h.head.signals, s)
	return h.keep(at, len(s.Name)+len(words[2]))
}

// keep counts bytes of names.
func (h *header) keep(at place, n int) error {
	if h.names += n; h.names > mostNames {
		return h.failed(at, fmt.Sprintf("found names of more than %d bytes; want a dump of fewer signals", mostNames))
	}
	return nil
}

// plainName joins the words of a name: "data" and "[0]" are one, and an escaped
// identifier loses its backslash.
func plainName(words []string) string {
	name := strings.TrimPrefix(words[0], `\`)
	for _, w := range words[1:] {
		if !strings.HasPrefix(w, "[") {
			name += " "
		}
		name += w
	}
	return name
}

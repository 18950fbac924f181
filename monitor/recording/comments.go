package recording

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
)

// header is the comment of a section: what a Section says, in the form of the file.
// Sections of format 1 have the first four members.
type header struct {
	Recording int             `json:"recording"` // version of the format
	Base      int64           `json:"base_ns"`
	First     int64           `json:"first"`
	Build     string          `json:"build"`
	Session   string          `json:"session,omitempty"`
	Segment   int             `json:"segment,omitempty"`
	Taps      []event.TapName `json:"taps,omitempty"`
	Ports     []event.Port    `json:"ports,omitempty"`
	Thinned   *Tombstone      `json:"thinned,omitempty"`
}

func (h *header) section() Section {
	return Section{Base: h.Base, Taps: h.Taps, First: h.First, Build: h.Build, Session: h.Session, Segment: h.Segment, Ports: h.Ports, Thinned: h.Thinned}
}

func (s *Section) header() header {
	h := header{
		Recording: formatNow, Base: s.Base, First: s.First, Build: plain(s.Build),
		Session: s.Session, Segment: s.Segment, Taps: s.Taps, Thinned: s.Thinned,
	}
	if slices.ContainsFunc(s.Ports, func(p event.Port) bool { return p != event.Port{} }) {
		h.Ports = s.Ports
	}
	return h
}

// link is the comment of an interface. It repeats what places the interface,
// so that nothing shifts when a block before it is lost.
type link struct {
	Interface int    `json:"interface"` // its number in the section
	Tap       int    `json:"tap"`
	Base      int64  `json:"base_ns"`
	Session   string `json:"session,omitempty"`
	Settings  string `json:"settings,omitempty"`
	Latency   string `json:"latency,omitempty"`
}

// addChecksum renders a comment.
func addChecksum(comment any) (string, error) {
	object, err := json.Marshal(comment)
	if err != nil {
		return "", fmt.Errorf("render a comment: %w", err)
	}
	line := bytes.TrimSuffix(crclog.Append(nil, object), []byte("\n"))
	if len(line) > maxOption {
		return "", fmt.Errorf("render a comment: got %d bytes, want at most %d", len(line), maxOption)
	}
	return string(line), nil
}

// checkChecksum reads a comment; false means that it is none of ours, or damaged.
func checkChecksum(text []byte, into any) bool {
	object, err := crclog.Check(text)
	return err == nil && json.Unmarshal(object, into) == nil
}

// plain makes text fit for a comment: valid, on one line, of bounded length.
func plain(text string) string {
	text = strings.ToValidUTF8(text, "\uFFFD")
	if len(text) > maxText {
		end := maxText
		for !utf8.RuneStart(text[end]) {
			end--
		}
		text = text[:end] + "..."
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7F {
			return ' '
		}
		return r
	}, text)
}

package script

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/sim/world"
)

// Script is what the simulated bench plays: the bench and what happens at it. The
// package's introduction has the grammar.
type Script struct {
	world.Plan
	name      string
	text      []byte
	firstStep int  // the line it stands in, 0: there is none
	driven    bool // it may lack its end
}

// About is what the comment at the top of a script says first: a sentence, "" where
// there is none.
func (s *Script) About() string { return about(string(s.text)) }

func about(text string) string {
	var words []string
	for line := range strings.Lines(text) {
		comment, ok := strings.CutPrefix(line, "#")
		if !ok {
			break
		}
		words = append(words, strings.Fields(comment)...)
	}
	sentence, _, more := strings.Cut(strings.Join(words, " "), ". ")
	if more {
		sentence += "."
	}
	return sentence
}

// Load reads a script from disk.
func Load(path string) (*Script, error) {
	text, err := files.ReadNamed(path, files.MaxText)
	if err != nil {
		return nil, fmt.Errorf("script: %w", err)
	}
	return Parse(filepath.Base(path), text)
}

// With is the script with more settings, put before its first step. Lines in
// the error count them in.
func (s *Script) With(settings string) (*Script, error) {
	before, after := s.split()
	text := string(before) + settings + "\n" + string(after)
	return parseText(s.name, []byte(text), s.driven)
}

// Bench is the script without its steps and its end, to be driven.
func (s *Script) Bench() *Script {
	bare := *s
	bare.text, _ = s.split()
	bare.Plan.Steps, bare.Plan.Length = nil, world.Never
	bare.firstStep, bare.driven = 0, true
	return &bare
}

// split cuts the text before the first step. Both parts are whole lines.
func (s *Script) split() (settings, steps []byte) {
	lines := bytes.SplitAfter(s.text, []byte("\n"))
	if s.firstStep == 0 {
		return append(bytes.Clone(s.text), '\n'), nil
	}
	return bytes.Join(lines[:s.firstStep-1], nil), bytes.Join(lines[s.firstStep-1:], nil)
}

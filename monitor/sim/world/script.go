package world

import (
	"bytes"
	"embed"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"benchproof.example/decode/scale"
)

// Script is what the stand-in plays: the bench and what happens at it. The
// package's introduction has the grammar.
type Script struct {
	name     string
	scale    scale.Scale
	packets  int64 // ns from packet to packet
	channels []channelPlan
	taps     []tapPlan
	hands    handHabits
	cutoff   *cutoffPlan
	warns    []int // channels that must be home before the transmitter sends
	second   *secondPlan
	gates    []gate
	phases   []phase
	trembles []tremblePlan
	board    boardPlan
	servos   servosPlan
	gyro     gyroPlan
	outputs  []outputPlan
	faults   []newFault
	spikes   []spikePlan
	steps    []step
	length   int64 // ns, never: without an end

	text      []byte
	firstStep int  // the line it stands in, 0: there is none
	driven    bool // it may lack its end
}

// tapPlan is one receiver and the way from it to the computer.
type tapPlan struct {
	name            string
	onLoss, wakes   onLoss // in failsafe, and before its first link
	flags, early    uint8  // those that it ever sets, and before its first link
	always          uint8  // flags that it sets in every frame
	after, holds    spread // ns, see lossBehaviour
	misses, flagged spread
	ramp, regain    spread
	neverBack       bool  // no regaining
	period          int64 // ns
	slots           bool  // telemetry footers
	chatter         int   // bytes
	presets         map[int]spread
	teach           spread // ns, see presetSender; 0: it needs no teaching
	stabiliser      stabiliserPlan
	loss            float64
	burst           float64 // packets, at least 1
	missing, damage float64
	noise           float64 // characters a second
	clump           int64   // ns, 0: none
}

// onLoss is what a receiver does in failsafe.
type onLoss int

const (
	onLossPreset onLoss = iota
	onLossHold
	onLossSilent
)

var onLossWords = []string{onLossPreset: "preset", onLossHold: "hold", onLossSilent: "silent"}

// step is one timed line.
type step struct {
	at int64
	do action
}

//go:embed scripts/*.script
var embedded embed.FS

const extension = ".script"

// Names lists the scripts that Named knows, sorted.
func Names() []string {
	files, _ := embedded.ReadDir("scripts") // an embedded folder can't fail
	names := make([]string, 0, len(files))
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f.Name(), extension))
	}
	return names
}

// Named is a script that comes with the program.
func Named(name string) (*Script, error) {
	if names := Names(); !slices.Contains(names, name) {
		return nil, fmt.Errorf("no script is called %q; there are %s", name, strings.Join(names, ", "))
	}
	text, err := embedded.ReadFile("scripts/" + name + extension)
	if err != nil {
		return nil, fmt.Errorf("script %s: %w", name, err)
	}
	return Parse(name+extension, text)
}

// About is what the comment at the top of a script says first: a sentence, "" where
// there is none.
func (s *Script) About() string {
	var words []string
	for line := range strings.Lines(string(s.text)) {
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
	text, err := os.ReadFile(path)
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
	bare.steps, bare.firstStep, bare.length, bare.driven = nil, 0, never, true
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

// Kinds of tap.
const (
	Bus    = "bus"    // servo-bus characters
	Pulses = "pulses" // lines of a capture board
)

// Tap is where a listener may listen.
type Tap struct {
	Name string
	Kind string // Bus or Pulses
}

// Taps are the receivers, in the order of the script, and after them the capture
// board; Delivery.Tap counts them from 0.
func (s *Script) Taps() []Tap {
	taps := make([]Tap, 0, len(s.taps)+1)
	for i := range s.taps {
		taps = append(taps, Tap{s.taps[i].name, Bus})
	}
	if s.board.line > 0 {
		taps = append(taps, Tap{s.board.name, Pulses})
	}
	return taps
}

// TapNames are the names of Taps.
func (s *Script) TapNames() []string {
	var names []string
	for _, t := range s.Taps() {
		names = append(names, t.Name)
	}
	return names
}

// neutral is what channels carry that nobody has said anything about.
func (s *Script) neutral() values {
	var counts values
	for i := range counts {
		counts[i] = s.count(neutralWidth)
	}
	return counts
}

// starts is what channels carry whose controls stand where they stood at first.
func (s *Script) starts() values {
	counts := s.neutral()
	for i := range s.channels {
		counts[s.channels[i].number] = s.count(s.channels[i].start)
	}
	return counts
}

// widthOf is the width that a count of a channel stands for, ns.
func (s *Script) widthOf(counts *values, number int) int64 {
	return s.scale.Width(int64(counts[number]))
}

// count is the count for a width; the parser refuses widths that have none,
// and a neutral that the scale can't carry sits at its end.
func (s *Script) count(width int64) uint16 {
	return uint16(min(max(s.scale.Count(width), 0), scale.MaxCount))
}

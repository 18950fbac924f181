// Package waveform reads what logic analysers, oscilloscopes and simulators
// write down: the changes of digital lines, out of value change dumps (VCD,
// IEEE 1364, section "Value change dump (VCD) files") and out of lists of
// comma-separated values (CSV), as edges.
//
//	dump                          list
//	$timescale 1 ns $end          time_us,bus,pwm1
//	$var wire 1 ! bus $end        0,1,0
//	$enddefinitions $end          12.5,0,0
//	#0                            22.5,1,0
//	1!
//	#12500
//	0!
//
// A file is read as a stream, whatever its length and that of its lines, in a
// fixed amount of memory beside the names of its signals. Nothing is allocated
// per edge. Bad input ends the reading with an *Error: line, column, what was
// found and what would be right. The edges before that place stand.
//
//	r, err := waveform.Open(file)
//	err = r.Select("top.bus")
//	for {
//		events, err := r.Next() // until io.EOF
//	}
package waveform

import (
	"io"

	"benchproof.example/decode/edge"
)

// Signal is a line that the file describes.
type Signal struct {
	Scope string // of a dump: the scopes around it, joined with dots; "" for none
	Name  string // with the index, where there is one: "data[3]"
	// Bits is the width. Only signals of one bit can be selected. 0 stands for
	// what has no levels at all: reals, strings, events.
	Bits int

	line int // the changes of which line are this signal's; aliases share it
}

// Path is the whole name: scopes and name, joined with dots.
func (s *Signal) Path() string {
	if s.Scope == "" {
		return s.Name
	}
	return s.Scope + "." + s.Name
}

// Event is an edge of one of the selected signals.
type Event struct {
	Signal int // index into what Select was given
	edge.Edge
}

// Account is what was read so far.
type Account struct {
	Bytes int64 // of the file
	Edges int64 // given by Next
	Last  int64 // the latest time reported, ticks: lines stood as they were up to there
	// Cut: the file ended within a change or a row, which was left out, for
	// what is missing might have made another of it.
	Cut bool
}

// Reader reads one file. Make one with Open.
type Reader struct {
	src   *source
	form  format
	head  head
	watch *watch
	edges int64
	err   error
}

// head is what the beginning of a file reports.
type head struct {
	signals []Signal
	lines   int // how many different ones the signals have
	rate    edge.Rate
}

// format is one way of writing edges down.
type format interface {
	// wanted gets the lines that are wanted, before the first read.
	wanted(w *watch)
	// read adds the events of some of the file to w. Nothing added and no error
	// means: call again. io.EOF is the end.
	read(w *watch) error
	// cut reports whether the file ended within a change.
	cut() bool
	reached() int64 // the latest time, ticks
}

// Open finds out what the file is and reads it up to the first change. What is
// neither a dump nor a list is an *Error that says what it looks like.
func Open(r io.Reader) (*Reader, error) {
	src := newSource(r)
	begin, err := src.peek(Sniffed)
	if err != nil {
		return nil, err
	}
	out := &Reader{src: src}
	switch kind, what := Sniff(begin); kind {
	case VCD:
		out.form, err = openDump(src, &out.head)
	case CSV:
		out.form, err = openList(src, &out.head)
	default:
		err = src.failed(0, "found "+what+"; want a value change dump (VCD, begins with $) or a list of edges (CSV)")
	}
	if err != nil {
		return nil, err
	}
	return out, out.Select()
}

// Signals are the lines that the file describes, in its order.
func (r *Reader) Signals() []Signal { return r.head.signals }

// Rate is how long a tick of the edges is: the timescale of a dump; a
// picosecond in a list, or a femtosecond where its header names ps or fs.
func (r *Reader) Rate() edge.Rate { return r.head.rate }

// Account is what was read so far.
func (r *Reader) Account() Account {
	return Account{Bytes: r.src.taken(), Edges: r.edges, Cut: r.form.cut(), Last: r.form.reached()}
}

// Select says which signals Next describes, before the first Next; without it the
// file is only checked. A signal is named as in the file, by its whole path or by
// as much of its end as is unambiguous: "top.uut.bus", "uut.bus" or "bus"; "data"
// is also "data[0]" where that is the only one. The error of a name that fits
// none, or several, lists those which might be meant.
func (r *Reader) Select(names ...string) error {
	w := newWatch(r.head.lines, len(names))
	for i, name := range names {
		s, err := find(r.head.signals, name)
		if err != nil {
			return err
		}
		w.add(i, s.line)
	}
	r.watch = w
	r.form.wanted(w)
	return nil
}

// Next gives the next edges, in the order of the file: at least one, or an
// error, io.EOF at the end. The first edge of a signal is its first level;
// levels that are given before a dump's first time are at tick 0. Then there is
// an edge wherever the level changes, also when it changes back at the same
// tick. The events are lent until the next call.
func (r *Reader) Next() ([]Event, error) {
	w := r.watch
	w.events = w.events[:0]
	for len(w.events) == 0 {
		if r.err != nil {
			return nil, r.err
		}
		r.err = r.form.read(w)
	}
	r.edges += int64(len(w.events))
	return w.events, nil
}

package sheet

import (
	"fmt"
	"strconv"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/unit"
)

// reader collects a sheet and the mistakes in it. Sections are read in the
// order in which they rest on each other, whatever the order of the text.
type reader struct {
	file      string
	protocols bus.Table
	sheet     Sheet
	mistakes  Mistakes

	// What could not be read makes other mistakes look like more than they are.
	nameless    bool            // a channel's name: names that are no channel's may be that one
	unsound     map[string]bool // channels by name: their places may be incomplete
	scaleless   bool            // the scale: widths can't be held against it
	percentless bool            // what percentages are

	travel travel // what percentages are

	ofPapers bool // it reads papers, not a sheet

	fresh bool // for a new session: what was accepted when older sheets were written may be refused
}

// Parser reads sheets. The zero value is ready.
type Parser struct {
	// Protocols are those that a tap may name, the first where it names none; nil: all
	// that the program knows.
	Protocols bus.Table
}

// Read reads a sheet that a session keeps, with the zero Parser.
func Read(name string, text []byte) (*Sheet, error) { return Parser{}.Read(name, text) }

// ReadNew reads a sheet that a new session is to begin with, with the zero Parser.
func ReadNew(name string, text []byte) (*Sheet, []Doubt, error) { return Parser{}.ReadNew(name, text) }

func (p Parser) reader(file string) *reader {
	r := &reader{file: file, protocols: p.Protocols, unsound: map[string]bool{}}
	if r.protocols == nil {
		r.protocols = protocols.All()
	}
	return r
}

// Read reads and checks a sheet that a session keeps: it reads as when it was
// written, whatever is refused in a new one since. name is the file as the builder
// knows it. The error is Mistakes: all of them, by place. Checks that compare parts of
// a section wait until those parts can be read.
func (p Parser) Read(name string, text []byte) (*Sheet, error) {
	r := p.reader(name)
	_, err := r.read(text)
	if err != nil {
		return nil, err
	}
	return &r.sheet, nil
}

// ReadNew reads and checks a sheet that a new session is to begin with. It refuses
// what Read refuses and what can't be meant, and says by place what may not be meant:
// doubts stop nothing.
func (p Parser) ReadNew(name string, text []byte) (*Sheet, []Doubt, error) {
	r := p.reader(name)
	r.fresh = true
	root, err := r.read(text)
	if err != nil {
		return nil, nil, err
	}
	return &r.sheet, r.doubts(root), nil
}

func (r *reader) read(text []byte) (*node, error) {
	root := r.document(text)
	if root != nil {
		r.sections(root)
	}
	if len(r.mistakes) > 0 {
		r.mistakes.sort()
		return nil, r.mistakes
	}
	return root, nil
}

func (r *reader) sections(root *node) {
	if r.newer(root) {
		return
	}
	wellFormed := len(r.mistakes) == 0
	root.row = &Key{} // above all rows
	top := r.record(root, "the sheet")
	r.whole(top.get("sheet"))
	r.sheet.Model, _ = r.text(top.get("model"))
	r.sheet.Sticks, _ = r.whole(top.get("sticks"))
	r.taps(top.get("taps"))
	r.scale(top.get("scale"))
	r.percent(top.get("percent"))
	r.tolerance(top.get("tolerance"))
	channelsRead := r.clean(func() { r.channels(top.get("channels")) })
	if r.sheet.Listens {
		r.onlyListening(top)
		return
	}
	r.gain(top.get("gain"))
	stabiliser := top.get("stabiliser")
	if r.clean(func() { r.stabiliser(stabiliser) }) && channelsRead && wellFormed && stabiliser != nil {
		r.checkCells(stabiliser)
		r.checkEdges(stabiliser)
		r.checkGainSeries(stabiliser)
	}
	r.gestures(top.get("gestures"))
	r.mixes(top.get("mixes_wanted"))
	r.outputs(top.get("outputs"))
	r.failsafe(top.get("failsafe"))
	r.sheet.MarkButton = r.pressed(top.get("mark_button"), "the mark button")
	r.heartbeat(top.get("heartbeat"))
	r.link(top.get("link"))
	r.soak(top.get("soak"))
	r.learning(top.get("learning"))
	r.levelling(top.get("levelling"))
	r.assumptions(top.get("assumed"))
}

// newer reports a sheet of a later format and nothing else: what its keys mean
// this program cannot know.
func (r *reader) newer(root *node) bool {
	for _, e := range root.entries {
		if e.key.text != "sheet" || e.value.shape != number {
			continue
		}
		format, ok := decimal(e.value.text, 0)
		if ok && format > Format {
			r.refuse(e.value, fmt.Sprintf("sheet format %d, and this program is older: it reads format %d", format, Format),
				"a newer program, or a sheet that begins with sheet: "+strconv.Itoa(Format)+",")
			return true
		}
	}
	return false
}

// clean runs a part of the reading and reports whether it found no mistake.
func (r *reader) clean(part func()) bool {
	before := len(r.mistakes)
	part()
	return len(r.mistakes) == before
}

// refuse notes a mistake at a node.
func (r *reader) refuse(n *node, found, want string) {
	r.refuseAt(n.line, n.column, found, want)
	if n.row != nil {
		r.mistakes[len(r.mistakes)-1].Key = n.row.Path
	}
}

func (r *reader) refuseAt(line, column int, found, want string) {
	r.mistakes = append(r.mistakes, Mistake{File: r.file, Line: line, Column: column, Found: found, Want: want})
}

// reach is the range of widths that the bus can carry by the sheet's scale, ns.
func (r *reader) reach() (lo, hi unit.Width) {
	if r.scaleless {
		return 1, longest
	}
	ends := r.sheet.Protocol.Range
	lo, hi = r.sheet.Width(ends[0]), r.sheet.Width(ends[1])
	if lo > hi {
		lo, hi = hi, lo
	}
	return max(lo, 1), hi
}

package recording

import (
	"cmp"
	"encoding/binary"
	"errors"
	"io"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Reader reads inputs from a recording, forward, in bounded memory. It is for
// one goroutine.
type Reader struct {
	win     window
	name    string                 // of the file, "" where it is the only one
	segment int                    // its number, 0 where it is the only one
	more    func() (source, error) // the next file, io.EOF after the last; nil: there is one only
	begun   bool                   // a section's header was read
	session string                 // of the first section that says it
	first   int64                  // number of the input with which it begins
	until   int64                  // number of the input before which reading ends; 0: none
	section sectionState
	head    []byte // the first bytes of the file

	next  int64 // number of the next input
	last  unit.Time
	parts bundle // what is left of the packet that was read last
	lacks bool   // what was given last stands for inputs that are lacking
	state checkpointParts

	thin    thin
	thinned []Thinned

	whole   int64 // end of the last block whose framing is whole
	run     run
	damages []Damage
	count   int64
	err     error // what every further Next returns
}

// source is one file.
type source struct {
	io.Reader
	name    string
	segment int
}

// NewReader reads a recording from its start.
func NewReader(r io.Reader) *Reader { return &Reader{win: window{src: r}} }

// Next reads one input. Its Data is lent until the next call. io.EOF is the end,
// also that of a recording whose tail is torn: see Tail. A file that is no
// recording gives an error that wraps ErrNotRecording.
//
// Where damage swallowed inputs, Next gives one input of kind RecordingGap in
// their place, at the date of the last good one; its Data is a event.RecordingGapInput that has
// ended. Where the numbers show that no input is missing there is none. Damages
// lists both.
func (r *Reader) Next(in *event.Input) error {
	if r.head == nil {
		r.head = r.win.first(headLen)
	}
	r.lacks = false
	if r.until > 0 && r.next >= r.until && !r.run.open {
		return io.EOF
	}
	if r.parts.left > 0 {
		r.fromBundle(in)
		return nil
	}
	for r.err == nil {
		block, why := r.win.block(0)
		switch why {
		case nothingLeft:
			return r.finish(in)
		case sound:
			given := r.take(block, in)
			if given || r.err != nil {
				return r.err
			}
		default:
			r.lose(why)
			r.search()
		}
	}
	return r.err
}

// take reads a whole block; given says that it yielded an input. Any other
// block is passed over.
func (r *Reader) take(block []byte, in *event.Input) (given bool) {
	r.whole = r.win.offset + int64(len(block))
	why := sound
	switch binary.LittleEndian.Uint32(block) {
	case blockPacket:
		given, why = r.packet(block, in)
	case blockInterface:
		why = r.link(block)
	case blockSection:
		why = r.header(block)
	case blockCounts:
	default:
		why = unknownBlock
	}
	if given {
		return true
	}
	if why != sound {
		r.lose(why)
	}
	r.win.skip(len(block))
	return false
}

// packet gives the block's input or, where inputs are missing before it, the
// gap; the block itself then comes with the next call.
func (r *Reader) packet(block []byte, in *event.Input) (given bool, why flaw) {
	var p packet
	if why = p.parse(block); why != sound {
		return false, why
	}
	at, why := r.belongs(&p)
	if why != sound {
		return false, why
	}
	if p.form == formCheckpoint {
		return false, r.checkpoint(&p)
	}
	if p.number != r.next {
		return r.missing(&p, len(block), in)
	}
	bundled := p.form == formBundle || p.form == formPlainBundle
	if bundled {
		if why = r.parts.parse(p.data, at, p.form == formBundle); why != sound {
			r.parts.left = 0
			return false, why
		}
	}
	if r.run.open {
		r.note()
	}
	r.section.learn(p.link, p.tap)
	r.section.first = -1
	r.win.skip(len(block))
	if bundled {
		r.fromBundle(in)
		return true, sound
	}
	r.next, r.last = p.number+1, at
	in.At, in.Tap, in.Kind, in.Data = at, p.tap, p.kind, p.data
	return true, sound
}

// missing gives the gap before a packet that does not bear the next number.
func (r *Reader) missing(p *packet, length int, in *event.Input) (given bool, why flaw) {
	if p.form == formInput && r.thin.covers(r.next, p.number) && !r.run.open {
		r.err = r.thinGap(in, p.number)
		return true, sound
	}
	if why = r.jump(p, length); why != sound {
		return false, why
	}
	r.lose(numberJumps)
	r.gap(in, p.number)
	return true, sound
}

// fromBundle gives the next input of a bundle, which was checked as a whole.
func (r *Reader) fromBundle(in *event.Input) {
	r.parts.next(in)
	r.next, r.last = r.next+1, in.At
}

// belongs checks a packet against its section and gives its date.
func (r *Reader) belongs(p *packet) (unit.Time, flaw) {
	if !r.section.known {
		return 0, noSection
	}
	at, why := r.section.date(p.stamp)
	switch {
	case why != sound:
		return 0, why
	case !r.section.carries(p.link, p.tap):
		return 0, tapsDiffer
	case at < r.last:
		return 0, dateBack
	}
	return at, sound
}

// jump judges a packet that does not bear the next number. Inputs are missing
// when its section says so, when the damage before it is large enough to have
// held them, or when the packet behind it agrees; otherwise the number is what
// is damaged.
func (r *Reader) jump(p *packet, length int) flaw {
	missing := p.number - r.next
	switch {
	case missing < 0:
		return numberBack
	case p.number == r.section.first:
		return sound
	case r.run.open && missing <= (r.win.offset-r.run.at)/minPacket:
		return sound
	case r.followed(p.number+p.inputs(), length):
		return sound
	}
	return numberJumps
}

// followed says whether the packet after the one here bears a number. The window may
// move; blocks given before are gone.
func (r *Reader) followed(number int64, at int) bool {
	for at <= windowSize-maxBlock {
		b, why := r.win.block(at)
		if why != sound {
			return false
		}
		switch binary.LittleEndian.Uint32(b) {
		case blockPacket:
			var p packet
			return p.parse(b) == sound && p.number == number
		case blockSection:
			h, why := parseHeader(b)
			return why == sound && h.First == number
		}
		at += len(b)
	}
	return false
}

func (r *Reader) link(block []byte) flaw {
	l, why := parseLink(block)
	if why != sound {
		return why
	}
	if r.foreign(l.Session) {
		return otherSession
	}
	return r.section.add(&l, r.win.offset, r.run.open)
}

func (r *Reader) header(block []byte) flaw {
	h, why := parseHeader(block)
	if why != sound {
		r.refuseForeign(block)
		return why
	}
	if h.Recording > formatNow {
		r.err = h.newer()
		return sound
	}
	if r.foreign(h.Session) {
		r.section = sectionState{}
		return otherSession
	}
	if !r.begun && !r.run.open {
		r.next, r.first = h.First, h.First
	}
	r.begun, r.session = true, cmp.Or(r.session, h.Session)
	r.section = sectionState{known: true, start: r.win.offset, base: h.Base, first: h.First, says: h.section()}
	r.thin = thin{}
	if h.Thinned != nil && h.Thinned.Inputs > 0 {
		r.thin = thin{first: h.First, end: h.First + h.Thinned.Inputs}
		r.thinned = append(r.thinned, Thinned{File: r.name})
	}
	return sound
}

// foreign reports whether a block says that it is of another session than those before.
func (r *Reader) foreign(session string) bool {
	return r.session != "" && session != "" && session != r.session
}

// finish ends the reading. Damage that no believable packet follows still has
// its gap, unless it is the torn tail.
func (r *Reader) finish(in *event.Input) error {
	if r.err = r.win.failed(); r.err != nil {
		return r.err
	}
	if r.thin.covers(r.next, r.thin.end) && !r.run.open {
		return r.thinGap(in, r.thin.end)
	}
	if r.err = r.refuse(); r.err != nil {
		return r.err
	}
	if r.more != nil {
		if r.err = r.goOn(); !errors.Is(r.err, io.EOF) {
			return r.resumed(in)
		}
	}
	if r.run.open && !r.runIsTail() {
		r.gap(in, r.next)
		return r.err
	}
	r.run.open = false
	r.err = io.EOF
	return r.err
}

// refuse refuses a file that ends and is of another program. That it is a packed one and hurt
// is damage.
func (r *Reader) refuse() error {
	if r.win.foundHurt() {
		r.lose(badPacking)
		return nil
	}
	if r.begun || r.section.known || r.count > 0 {
		return nil
	}
	return r.refuseAll()
}

// goOn goes over to the next file, io.EOF if there is none. What stands behind the whole
// blocks of the one before is no tail then, but damage.
func (r *Reader) goOn() error {
	src, err := r.more()
	if err != nil {
		return err
	}
	if r.begun && r.whole < r.win.offset {
		r.lose(cutShort)
	}
	r.win, r.name, r.segment, r.whole, r.head = window{src: src}, src.name, src.segment, 0, nil
	r.section = sectionState{}
	return nil
}

// resumed reads on in the next file.
func (r *Reader) resumed(in *event.Input) error {
	if r.err != nil {
		return r.err
	}
	return r.Next(in)
}

// Session is the identity that all parts carry, as far as they were read; "" for a
// recording of format 1, whose parts carry none.
func (r *Reader) Session() string { return r.session }

// First is the number of the input with which the recording begins: 0, or of a part of one
// that of the first input in it. Of one that is read from a place on it is 0.
func (r *Reader) First() int64 { return r.first }

// Taps are those of the section that was read last, as its header has them; nil for one of
// format 1, whose begin or resume has them.
func (r *Reader) Taps() []event.TapName { return r.section.says.Taps }

// Tail says, after io.EOF, where the whole blocks end, and whether anything
// stands behind: the file ends inside a block or is filled up with what is no
// block, as a cut-off writer leaves it.
func (r *Reader) Tail() (offset int64, torn bool) { return r.whole, r.whole < r.win.offset }

package recording

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// MaxDamages is how many damages a Reader lists; it counts all.
const MaxDamages = 100

// Damage is a place in the middle of a recording where something could not be
// believed.
type Damage struct {
	Offset int64  `json:"offset"` // where it begins, bytes
	Why    string `json:"why"`
}

// Reader reads inputs from a recording, forward, in bounded memory. It is for
// one goroutine.
type Reader struct {
	win     window
	section sectionState
	head    []byte // the first bytes of the file

	next int64 // number of the next input
	last unit.Time

	whole   int64 // end of the last block whose framing is whole
	run     run
	damages []Damage
	count   int64
	err     error // what every further Next returns
}

// run is a stretch of damage: from the first block that was not believed to the
// next packet that is.
type run struct {
	open bool
	at   int64
	why  flaw
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
	if p.number != r.next {
		if why = r.jump(&p, len(block)); why != sound {
			return false, why
		}
		r.lose(numberJumps)
		r.gap(in, p.number)
		return true, sound
	}
	if r.run.open {
		r.note()
	}
	r.section.learn(p.link, p.tap)
	r.section.first = -1
	r.next, r.last = p.number+1, at
	r.win.skip(len(block))
	*in = event.Input{At: at, Tap: p.tap, Kind: p.kind, Data: p.data}
	return true, sound
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
	case r.followed(p.number, length):
		return sound
	}
	return numberJumps
}

// followed says whether the packet after the one here bears the number after
// the given one. The window may move; blocks given before are gone.
func (r *Reader) followed(number int64, at int) bool {
	for at <= windowSize-maxBlock {
		b, why := r.win.block(at)
		if why != sound {
			return false
		}
		switch binary.LittleEndian.Uint32(b) {
		case blockPacket:
			var p packet
			return p.parse(b) == sound && p.number == number+1
		case blockSection:
			h, why := parseHeader(b)
			return why == sound && h.First == number+1
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
	if !r.section.known && !r.run.open {
		r.next = h.First
	}
	r.section = sectionState{known: true, start: r.win.offset, base: h.Base, first: h.First}
	return sound
}

// lose opens a run of damage, unless one is open.
func (r *Reader) lose(why flaw) {
	r.section.hurt = true
	if !r.run.open {
		r.run = run{open: true, at: r.win.offset, why: why}
	}
}

// note lists the run of damage and closes it.
func (r *Reader) note() {
	r.count++
	if len(r.damages) < MaxDamages {
		r.damages = append(r.damages, Damage{Offset: r.run.at, Why: r.run.why.String()})
	}
	r.run.open = false
}

// gap gives the input that stands for those up to the number next.
func (r *Reader) gap(in *event.Input, next int64) {
	why := fmt.Sprintf("recording damaged at byte %d: %v", r.run.at, r.run.why)
	r.note()
	data, err := json.Marshal(event.RecordingGapInput{Ended: true, Why: why, Inputs: next - r.next})
	r.err = err
	r.next = next
	*in = event.Input{At: r.last, Tap: event.BenchTap, Kind: event.InputRecordingGap, Data: data}
}

// finish ends the reading. Damage that no believable packet follows still has
// its gap, unless it is the torn tail.
func (r *Reader) finish(in *event.Input) error {
	if r.err = r.win.failed(); r.err != nil {
		return r.err
	}
	if !r.section.known {
		if r.err = r.refuseAll(); r.err != nil {
			return r.err
		}
	}
	if r.run.open && r.run.at < r.whole {
		r.gap(in, r.next)
		return r.err
	}
	r.run.open = false
	r.err = io.EOF
	return r.err
}

// Damages lists the first MaxDamages damages so far, in file order.
func (r *Reader) Damages() []Damage { return slices.Clone(r.damages) }

// DamageCount is how many damages there were so far.
func (r *Reader) DamageCount() int64 { return r.count }

// Tail says, after io.EOF, where the whole blocks end, and whether anything
// stands behind: the file ends inside a block or is filled up with what is no
// block, as a cut-off writer leaves it.
func (r *Reader) Tail() (offset int64, torn bool) { return r.whole, r.whole < r.win.offset }

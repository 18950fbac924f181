package servobus

import "benchproof.example/decode/bus"

// Framer finds frames in a stream of bytes, in whatever pieces they come: what
// it emits, and at which byte, depends on the bytes alone. The zero value is
// ready, and unlocked.
//
// Unlocked, it believes a frame only when another bears it out: the next 25
// bytes, or two more at a bus's own pace where other talk fills the line
// between frames. If two readings of the stream bear themselves out (both bytes
// of an envelope occur inside the data as well), it waits for the data to move,
// for up to eight frames.
//
// Locked, it keeps every intact frame. Frames are expected one after the other;
// where none is, the next 25 bytes are tried at the old stride first, and only
// if that fails at every other byte, with a footer before, a header behind, or
// the bus's own spacing as a witness.
//
// Lock is lost after lostAfter slots of 25 bytes without a frame, and by Reset.
// A silence alone does not unlock: what the line says next decides.
type Framer struct {
	acct   bus.Account
	held   held
	locked bool
	slips  int // slots in a row that held no frame
	last   lastFrame
	found  bus.Found
}

// lastFrame is what the next frame is compared with.
type lastFrame struct {
	start         int64 // offset
	stride        int64 // from the frame before it
	flags, footer byte
}

const (
	lostAfter = 8 // slots
	slot      = FrameLen
)

// Account reports where every byte fed went.
func (f *Framer) Account() bus.Account { return f.acct }

// Pending is the number of bytes that wait for a decision.
func (f *Framer) Pending() int { return f.held.n }

// RefusedBytes implements bus.Framer.
func (f *Framer) RefusedBytes() int64 { return f.acct.Refused.Total() }

// Locked reports whether the stream's rhythm is known.
func (f *Framer) Locked() bool { return f.locked }

// Feed takes the next piece of the stream, all of it dated at (ns of any clock
// that does not run backwards) and marked bad or not, and emits the frames that
// it completes or bears out.
func (f *Framer) Feed(p []byte, at int64, bad bool, emit func(*bus.Found)) {
	f.acct.In += int64(len(p))
	for len(p) > 0 {
		if f.locked && f.held.n == 0 {
			if p = f.direct(p, at, bad, emit); len(p) == 0 { // nearly always
				return
			}
		}
		n := min(len(p), f.wants())
		if f.held.n == 0 {
			f.held.base = f.acct.In - int64(len(p))
		}
		f.held.add(p[:n], at, bad)
		p = p[n:]
		f.decide(emit)
	}
}

// Reset forgets the rhythm; what is pending is refused as cut off.
func (f *Framer) Reset() {
	f.refuse(f.held.n, bus.CutOff)
	f.locked, f.slips, f.last = false, 0, lastFrame{}
}

// direct emits frames that lie whole in p, one after the other, without copying.
func (f *Framer) direct(p []byte, at int64, bad bool, emit func(*bus.Found)) []byte {
	offset := f.acct.In - int64(len(p))
	for len(p) >= slot && p[0] == header && isFooter(p[slot-1]) {
		f.give((*[FrameLen]byte)(p), offset, at, bad, emit)
		p, offset = p[slot:], offset+slot
	}
	return p
}

// wants is how many bytes may be added before the next decision is due.
func (f *Framer) wants() int {
	switch {
	case !f.locked:
		return 1
	case f.slips == 0:
		return slot - f.held.n
	default:
		return 2*slot - f.held.n
	}
}

func (f *Framer) decide(emit func(*bus.Found)) {
	switch {
	case !f.locked:
		f.hunt(emit)
	case f.slips == 0 && f.held.n == slot:
		if f.held.envelope(0) {
			f.take(0, emit)
			return
		}
		f.slips = 1
	case f.slips > 0 && f.held.n == 2*slot:
		f.slip(emit)
	}
}

// slip decides about two slots of which the first holds no frame where one was
// expected.
func (f *Framer) slip(emit func(*bus.Found)) {
	c := slot
	if !f.held.envelope(slot) {
		c = f.stray()
	}
	if c > 0 {
		f.take(c, emit)
		return
	}
	f.refuse(slot, bus.NoHeader)
	if f.slips++; f.slips > lostAfter {
		f.locked, f.slips = false, 0
	}
}

// stray looks for a frame off the old stride, at 1..24, and returns 0 for none.
// Witnesses are counted; of equals the smaller shift wins, for a byte lost or
// added is likelier than many.
func (f *Framer) stray() int {
	best, bestScore := 0, 0
	for c := 1; c < slot; c++ {
		if !f.held.envelope(c) {
			continue
		}
		score := slot * f.neighboursAgree(c)
		if score > 0 {
			score += slot - min(c, slot-c)
		}
		if score > bestScore {
			best, bestScore = c, score
		}
	}
	return best
}

func (f *Framer) neighboursAgree(c int) (n int) {
	if isFooter(f.held.byte(c - 1)) {
		n++
	}
	if f.held.byte(c+slot) == header {
		n++
	}
	loose := f.last.stride > slot
	spaced := f.held.base+int64(c)-f.last.start == f.last.stride
	alike := agree(f.last.flags, f.last.footer, f.held.byte(c+slot-2), f.held.byte(c+slot-1))
	if loose && (spaced || alike) {
		n++
	}
	return n
}

// take refuses what lies before c, emits the frame at c and lets it go.
func (f *Framer) take(c int, emit func(*bus.Found)) {
	f.refuse(c, bus.NoHeader)
	raw, offset := f.held.frame(), f.held.base
	at, bad := f.held.date(slot-1), f.held.anyBad(slot)
	f.held.drop(slot)
	f.slips = 0
	f.give(raw, offset, at, bad, emit)
}

func (f *Framer) give(raw *[FrameLen]byte, offset, at int64, bad bool, emit func(*bus.Found)) {
	f.acct.Frames++
	flags := raw[FrameLen-2]
	if flags&uint8(bus.Unassigned) != 0 {
		f.acct.OddFlags++
	}
	f.last = lastFrame{start: offset, stride: offset - f.last.start, flags: flags, footer: raw[FrameLen-1]}
	f.found.Raw, f.found.Offset, f.found.At, f.found.Bad = raw[:], offset, at, bad
	emit(&f.found)
}

// refuse lets the first n held bytes go. Bytes that look like the beginning of
// a frame get the reason that fits them better.
func (f *Framer) refuse(n int, why bus.Reason) {
	for i := range n {
		r := why
		if why == bus.NoHeader && f.held.byte(i) == header {
			r = bus.NoFooter
			if f.held.envelope(i) {
				r = bus.Unconfirmed
			}
		}
		f.acct.Refused[r]++
	}
	f.held.drop(n)
}

// isFooter: 0x00, or a telemetry slot's 0x04 0x14 0x24 0x34.
func isFooter(b byte) bool { return b == 0 || b&0xCF == 0x04 }

// agree reports whether two frames can follow each other on one bus: the same
// reserved flags, and footers that do.
func agree(flagsA, footerA, flagsB, footerB byte) bool {
	return (flagsA^flagsB)&uint8(bus.Unassigned) == 0 && follow(footerA, footerB)
}

// follow reports whether a footer is the same as the one before, or the next of
// the slot cycle.
func follow(a, b byte) bool {
	return a == b || a != 0 && b != 0 && b == (a+0x10)&0x3F
}

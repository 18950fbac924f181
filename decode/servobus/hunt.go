package servobus

import "benchproof.example/decode/bus"

// How far an unlocked framer looks.
const (
	// farthest is the longest way in bytes from the start of a frame to the
	// start of the next: 20 ms of a line that others fill.
	farthest = 167
	// slowest is the longest time between two dates of such frames: 20 ms and
	// what an adapter's clumping may add.
	slowest = 40_000_000 // ns
	// patience is how many frames in a row settle a quarrel between two
	// readings of the same bytes.
	patience = 8
	reach    = 2*farthest + slot
)

// hunt decides, unlocked, about the byte that has just been added.
func (f *Framer) hunt(emit func(*bus.Found)) {
	c := f.held.n - slot
	if f.held.envelope(c) {
		if f.settled(c) {
			f.lock(f.held.standing(c), emit)
			return
		}
		if a, b, ok := f.held.paced(c); ok {
			f.lockAt(emit, a, b, c)
			return
		}
	}
	if f.held.n == reach {
		f.refuse(1, bus.NoHeader)
	}
}

// settled reports whether the frame that ends with the last byte is borne out by
// the one before it and no other reading of the same bytes is as good.
func (f *Framer) settled(c int) bool {
	mine := f.held.standing(c)
	if mine.run < 2 {
		return false
	}
	for d := 1; d < slot; d++ {
		if f.held.rival(c-d) && (mine.run < patience || f.held.standing(c-d).beats(mine)) {
			return false
		}
	}
	return true
}

// lock emits the frames of a run.
func (f *Framer) lock(s standing, emit func(*bus.Found)) {
	f.begin(s.first)
	for range s.run {
		f.take(0, emit)
	}
}

// lockAt emits three frames that lie apart.
func (f *Framer) lockAt(emit func(*bus.Found), a, b, c int) {
	f.begin(a)
	f.take(0, emit)
	f.take(b-a-slot, emit)
	f.take(c-b-slot, emit)
}

func (f *Framer) begin(first int) {
	f.locked = true
	f.acct.Locks++
	f.refuse(first, bus.NoHeader)
	f.last.start = f.held.base - slot
}

// standing is what speaks for one reading of the bytes.
type standing struct {
	run    int // frames that follow each other without a gap, at most patience
	first  int // index of the first of them
	misses int // frames whose first byte did not come later than the byte before
}

// standing looks back from the frame at c. After a frame the line rests, so a
// new date at a first byte speaks for the reading; where dates show nothing, the
// reading that began earlier does.
func (h *held) standing(c int) standing {
	s := standing{run: 1, first: c}
	for s.run < patience && h.envelope(s.first-slot) && h.follow(s.first-slot, s.first) {
		s.first -= slot
		s.run++
	}
	for i := s.first; i <= c; i += slot {
		if !h.fresh(i) {
			s.misses++
		}
	}
	return s
}

// beats compares two readings whose last frames overlap, so that one of them may
// be one frame behind.
func (s standing) beats(o standing) bool {
	switch {
	case s.run < o.run-1:
		return false
	case s.misses != o.misses:
		return s.misses < o.misses
	default:
		return s.first < o.first
	}
}

// rival reports whether i may be the start of a frame in another reading: it
// looks like one, and so does what lies before it, as far as that is known.
func (h *held) rival(i int) bool {
	return h.envelope(i) && (i < slot || h.envelope(i-slot) && h.follow(i-slot, i))
}

// paced looks for two earlier frames at a bus's pace, a before b before c, with
// other talk between them: frames without any are for settled.
func (h *held) paced(c int) (a, b int, ok bool) {
	for b = c - slot - 1; b >= max(0, c-farthest); b-- {
		if !h.follows(b, c) {
			continue
		}
		for a = b - slot - 1; a >= max(0, b-farthest); a-- {
			if h.follows(a, b) {
				return a, b, true
			}
		}
	}
	return 0, 0, false
}

func (h *held) follows(a, b int) bool {
	return h.envelope(a) && h.alone(a) && h.alone(b) && h.agree(a, b) &&
		h.date(b+slot-1)-h.date(a+slot-1) <= slowest
}

// alone reports that no frame lies right before or behind i, as none does where
// others talk in between.
func (h *held) alone(i int) bool {
	return !h.envelope(i-slot) && !h.envelope(i+slot)
}

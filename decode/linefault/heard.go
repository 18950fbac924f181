package linefault

import "math/bits"

const (
	lags      = 64        // how far back a character is compared, plus one
	gaps      = 64        // classes of 1 ms
	burstRest = 2_500_000 // ns without a read: what comes then is another burst
	gapClass  = 1_000_000 // ns
)

// Heard counts what came through a port in a stretch of time. The zero value is ready. Its
// exported fields are all that it keeps. What is a count of characters counts those that were
// marked as bad, too.
type Heard struct {
	Chars  int64
	Marked int64 // marked as bad
	Framed int64 // part of a frame, by a framer of the protocol
	Lost   int64 // that the port lost, by its own count

	Values [256]uint32 // how often each came
	Turns  int64       // neighbouring bits of a character that differ, all together

	Latest [lags]byte   // characters, a ring
	Alike  [lags]uint32 // how often a character was that of so many characters before

	LastRead int64 // date of the latest read, ns
	Burst    int64 // date of the first read of the latest burst, ns
	Bursts   int64
	Gaps     [gaps]uint32 // from burst to burst, in ms; the last is longer
	GapSum   int64        // ns
}

// Feed takes a read: characters, its date (ns of any clock that does not run backwards) and
// whether they are marked as bad. A read may be cut into several of the same date.
func (h *Heard) Feed(p []byte, at int64, marked bool) {
	if len(p) == 0 {
		return
	}
	h.read(at)
	for _, b := range p {
		h.char(b)
	}
	if marked {
		h.Marked += int64(len(p))
	}
}

// read takes the date of a read.
func (h *Heard) read(at int64) {
	if h.Bursts == 0 || at-h.LastRead >= burstRest {
		if h.Bursts > 0 {
			gap := at - h.Burst
			h.Gaps[min(max(gap, 0)/gapClass, gaps-1)]++
			h.GapSum += gap
		}
		h.Bursts++
		h.Burst = at
	}
	h.LastRead = at
}

func (h *Heard) char(b byte) {
	h.Values[b]++
	h.Turns += int64(bits.OnesCount8((b ^ b>>1) & 0x7F))
	n := h.Chars
	for lag := int64(1); lag < min(lags, n+1); lag++ {
		if h.Latest[(n-lag)%lags] == b {
			h.Alike[lag]++
		}
	}
	h.Latest[n%lags] = b
	h.Chars++
}

// add adds the counts of another stretch. What belongs to the end of a stretch, its latest
// characters and dates, is not carried on.
func (h *Heard) add(o *Heard) {
	h.Chars += o.Chars
	h.Marked += o.Marked
	h.Framed += o.Framed
	h.Lost += o.Lost
	h.Turns += o.Turns
	h.Bursts += o.Bursts
	h.GapSum += o.GapSum
	for i, n := range o.Values {
		h.Values[i] += n
	}
	for i, n := range o.Alike {
		h.Alike[i] += n
	}
	for i, n := range o.Gaps {
		h.Gaps[i] += n
	}
}

// between is how many times from burst to burst were measured.
func (h *Heard) between() (n int64) {
	for _, count := range h.Gaps {
		n += int64(count)
	}
	return n
}

package pulse

const (
	second = 1_000_000_000
	// early is how much earlier than the pulse before it a pulse may have fallen, ns:
	// a board may report those of one moment in any order.
	early = 5_000_000
	// A board that began anew a moment ago has numbers below freshLines, the pulses of
	// eight outputs at 333 Hz in freshTime, ns.
	freshLines = 6_000
	freshTime  = 2 * second
	// lookBack is how many lines may come twice, in oldest ns.
	lookBack = 64
	oldest   = 5 * second
)

// BoardClock follows the numbers and the ticks of a board's lines. Both go round:
// the numbers at 2^16, the ticks at 2^32 (at 0.5 µs after 36 minutes).
type BoardClock struct {
	Heard bool   // a line came since the clock began
	Seq   uint16 // its number
	Fall  int64  // its falling edge, ticks, unwrapped: the latest line's, not the latest edge
	Infos int64  // how often the board spoke of itself since that line
	Torn  bool   // bytes were refused since that line

	Discontinuity Discontinuity
}

// Discontinuity is a line that did not follow. If the next one follows it, the clock is
// another one.
type Discontinuity struct {
	Is   bool
	Seq  uint16
	Fall uint32
}

// verdict is what a line is to the ones before.
type verdict uint8

const (
	follows  verdict = iota // lines may be lacking in between
	restarts                // the board began anew
	repeats                 // it was reported before
	strays                  // none of these
)

func (c *BoardClock) judge(seq uint16, fall uint32, tick int64) verdict {
	missing := c.missing(seq)
	on := c.on(fall, tick) * tick
	switch {
	case !c.Heard || c.near(missing, on):
		return follows
	case c.fresh(seq, fall, tick):
		return restarts
	case c.Seq-seq < lookBack && on <= 0 && on > -oldest:
		return repeats
	case c.Discontinuity.bears(seq, fall, tick):
		return restarts
	case on >= -early && (missing > 0 || c.Torn): // much was not heard
		return follows
	}
	return strays
}

// near reports whether a line can be one of the next few, if all was heard that the
// board said of itself. on is in ns.
func (c *BoardClock) near(missing uint16, on int64) bool {
	return missing < 1<<15 && on >= -early && on <= (c.Infos+3)*second*11/10
}

// fresh reports whether a line can be one of a board that began anew since the
// last one.
func (c *BoardClock) fresh(seq uint16, fall uint32, tick int64) bool {
	same := seq == c.Seq && fall == uint32(c.Fall)
	return !same && seq < freshLines && int64(fall)*tick < freshTime+c.Infos*second*11/10
}

// missing is how many lines are lacking before one with a number.
func (c *BoardClock) missing(seq uint16) uint16 {
	if !c.Heard {
		return 0
	}
	return seq - c.Seq - 1
}

// on is how far the clock went on since the last line. Where nothing moves for
// longer than it takes to go round, what the board said of itself once a second
// reports how often it did.
func (c *BoardClock) on(fall uint32, tick int64) int64 {
	guess := c.Infos * (second / tick)
	return guess + int64(int32(fall-uint32(c.Fall+guess)))
}

// follow brings the clock on to a line.
func (c *BoardClock) follow(seq uint16, fall uint32, tick int64) {
	at := int64(fall)
	if c.Heard {
		at = c.Fall + c.on(fall, tick)
	}
	*c = BoardClock{Heard: true, Seq: seq, Fall: at}
}

func (c *BoardClock) doubt(seq uint16, fall uint32) { c.Discontinuity = Discontinuity{true, seq, fall} }

// bears reports whether a line is the one after the doubtful one.
func (d *Discontinuity) bears(seq uint16, fall uint32, tick int64) bool {
	on := int64(int32(fall-d.Fall)) * tick
	return d.Is && seq == d.Seq+1 && on >= -early && on < 3*second
}

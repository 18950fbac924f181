package link

import (
	"math/bits"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	burstGap  = 250 * unit.Millisecond // values that stand this long end a burst
	burstHand = 8                      // changes in a burst: a hand makes many
	burstStep = 3                      // and a receiver's step to its presets few
	burstRamp = 3 * unit.Second        // a receiver may also go there on a straight way
	rampBegin = 60 * unit.Millisecond  // a hand starts from rest: in this long it goes a tenth of what a straight way does
	packet    = 60 * unit.Millisecond  // radio packets follow one another at least so soon
	leapt     = 40                     // quanta: a hand does not go this far from one frame to the next
	inMotion  = 320                    // quanta a second, 200 µs/s: a hand that stops slows down below that first
	burstKept = 8
)

// burst is a stretch of bench time in which values changed again and again.
//
//	a hand stirs        holds        presets
//	/\/\/\/\/\/\________________|~~~~~~~~~~~~~~~~
//	[ burst         ]           [] burst
//	              last live
type burst struct {
	From, To, Prev unit.Time // wire times of the first change, the last and the one before that
	Frames         int       // in which something changed
	Mask           uint32    // channels that changed, a bit each
	Earlier        uint32    // before the last change
	Leap           uint32    // that went far with the last change
	Turned         uint32    // that changed their direction
	Moving         uint32    // that were in motion with the last change
	MovingBefore   uint32    // and with the one before
	Before         bus.Counts
	Prior          bus.Counts // before the last change
	After          bus.Counts
	Early          bus.Counts // after rampBegin of their own way
	First, Last    bus.PerChannel[unit.Time]
	Counts         bus.PerChannel[int] // frames in which the channel changed
}

// bursts follows values over time.
type bursts struct {
	Known bool
	Now   bus.Counts
	Since unit.Time // wire time since which they stand
	List  []burst   // the latest, oldest first

	Least, Most bus.Counts // the farthest that each ever went
}

// step takes the values of the next frame.
func (b *bursts) step(now *bus.Counts, v *base.View, at unit.Time) {
	b.take(now, base.Changed(now, &b.Now), v, at)
}

// take takes the values of the next frame, of which some moved since the frame before.
func (b *bursts) take(now *bus.Counts, moved base.ChannelSet, v *base.View, at unit.Time) {
	if !b.Known {
		b.begin(now, at)
		return
	}
	if moved == 0 {
		return
	}
	was := &b.Now
	n := len(b.List)
	if n == 0 || at.Sub(b.List[n-1].To) >= burstGap {
		if n == burstKept {
			b.List = append(b.List[:0], b.List[1:]...)
		}
		b.List = append(b.List, burst{From: at, To: at, Before: *was})
		n = len(b.List)
	}
	b.List[n-1].change(was, now, moved, v, at)
	for moved != 0 {
		ch := moved.Pop()
		b.Least[ch], b.Most[ch] = min(b.Least[ch], now[ch]), max(b.Most[ch], now[ch])
	}
	b.Now, b.Since = *now, at
}

// begin takes values that have none before them.
func (b *bursts) begin(now *bus.Counts, at unit.Time) {
	if b.Most == (bus.Counts{}) {
		b.Least, b.Most = *now, *now
	}
	b.Known, b.Now, b.Since = true, *now, at
	b.reach(now)
}

func (b *bursts) reach(now *bus.Counts) {
	for ch, c := range now {
		b.Least[ch], b.Most[ch] = min(b.Least[ch], c), max(b.Most[ch], c)
	}
}

// latest is the burst that was last, nil where there is none.
func (b *bursts) latest() *burst {
	if len(b.List) == 0 {
		return nil
	}
	return &b.List[len(b.List)-1]
}

// change takes values of which some moved since those of the frame before.
func (b *burst) change(was, now *bus.Counts, moved base.ChannelSet, v *base.View, at unit.Time) {
	b.Prev, b.To = b.To, at
	b.Frames++
	b.Earlier, b.Leap, b.Prior, b.After = b.Mask, 0, *was, *now
	b.MovingBefore, b.Moving = b.Moving, 0
	for moved != 0 {
		ch := moved.Pop()
		b.channel(ch, int64(now[ch])-int64(was[ch]), int64(v.Quantum), at)
	}
}

// channel takes a change by d counts; quantum is as in base.View.
func (b *burst) channel(ch int, d, quantum int64, at unit.Time) {
	bit := uint32(1) << ch
	if b.Mask&bit == 0 {
		b.First[ch], b.Last[ch] = at, 0
	}
	if b.Last[ch] != 0 && unit.Abs(d)*int64(unit.Second) >= inMotion*quantum*int64(min(at.Sub(b.Last[ch]), packet)) {
		b.Moving |= bit
	}
	way := int64(b.Prior[ch]) - int64(b.Before[ch])
	if way != 0 && (way > 0) != (d > 0) {
		b.Turned |= bit
	}
	if at.Sub(b.First[ch]) <= rampBegin {
		b.Early[ch] = b.After[ch]
	}
	if unit.Abs(d) > leapt*quantum {
		b.Leap |= bit
	}
	b.Last[ch] = at
	b.Mask |= bit
	b.Counts[ch]++
}

// lastLive is the end of what hands, or the heartbeat, did: what came behind is the
// receiver's. Sure: it broke off in motion, so that was the loss and not a hand that
// came to rest.
type lastLive struct {
	At     unit.Time
	Counts bus.Counts
	ByHand bool   // there was a movement of hands, or the heartbeat
	Moving uint32 // channels that were in motion then
	Sure   bool
}

// last finds the last live moment. beat is the mask of the heartbeat's channel.
func (b *bursts) last(beat uint32, v *base.View) (l lastLive) {
	l.Counts = b.Now
	for i := len(b.List) - 1; i >= 0; i-- {
		x := &b.List[i]
		if x.receivers(beat) {
			continue
		}
		l.At, l.Counts, l.Moving = x.To, x.After, x.Moving
		if x.Frames > burstHand && x.Leap&^x.Earlier != 0 {
			l.At, l.Counts, l.Moving = x.Prev, x.Prior, x.MovingBefore // the leap at its end is the receiver's
		}
		l.ByHand = x.Frames >= burstHand || x.Mask&beat != 0
		l.Sure = l.ByHand && (x.Mask&beat != 0 && l.At.Sub(x.Last[bits.TrailingZeros32(beat)&31]) <= packet || b.halfway(&l, v))
		return l
	}
	return l
}

// halfway reports that a channel was in motion where none stops by itself.
func (b *bursts) halfway(l *lastLive, v *base.View) bool {
	for ch, count := range l.Counts[:v.Protocol.Channels] {
		if l.Moving&(1<<ch) != 0 && !b.farthest(ch, count, v.Quantum) && !v.Rests(ch, count) {
			return true
		}
	}
	return false
}

// stopMargin is how many quanta short of the farthest that it ever went a stick that
// stops did not meet its stop.
const stopMargin = 24

func (b *bursts) farthest(ch int, count, quantum uint32) bool {
	return count < b.Least[ch]+stopMargin*quantum || count+stopMargin*quantum > b.Most[ch]
}

// receivers reports that a burst is a receiver going to its presets: a step, or a
// straight way that two channels or more began and ended together.
func (b *burst) receivers(beat uint32) bool {
	if b.Frames <= burstStep {
		return b.Mask&^beat != 0
	}
	if b.Mask&beat != 0 || b.Mask&b.Turned != 0 || b.To.Sub(b.From) > burstRamp || bits.OnesCount32(b.Mask) < 2 {
		return false
	}
	for ch := range b.First {
		if b.Mask&(1<<ch) != 0 && (b.First[ch] != b.From || b.To.Sub(b.Last[ch]) > packet || !b.straight(ch)) {
			return false
		}
	}
	return true
}

// straight reports that a channel went at once as fast as on the whole: a hand that
// starts from rest does not.
func (b *burst) straight(ch int) bool {
	whole, early := int64(b.After[ch])-int64(b.Before[ch]), int64(b.Early[ch])-int64(b.Before[ch])
	takes := max(b.Last[ch].Sub(b.First[ch]), rampBegin)
	return 2*unit.Abs(early)*int64(takes) >= unit.Abs(whole)*int64(rampBegin)
}

// since reports when a channel first and last changed after a moment and up to
// another, and in how many frames; 0: never.
func (b *bursts) since(at, until unit.Time, ch int) (first, last unit.Time, frames int) {
	for i := range b.List {
		x := &b.List[i]
		if x.Mask&(1<<ch) == 0 || x.Last[ch] <= at || x.From > until {
			continue
		}
		if first == 0 {
			first = x.First[ch]
			if first <= at { // it had moved before in the same burst
				first = at
				if x.Prev <= at {
					first = x.To
				}
			}
		}
		last = min(x.Last[ch], until)
		frames += x.Counts[ch]
	}
	return first, last, frames
}

// firstAfter is when values first changed after a moment; 0: never.
func (b *bursts) firstAfter(at unit.Time) unit.Time {
	for i := range b.List {
		if x := &b.List[i]; x.To > at {
			return max(x.From, at)
		}
	}
	return 0
}

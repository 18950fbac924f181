package watch

import (
	"math/bits"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

const (
	burstGap  = 250 * fact.Millisecond // values that stand so long end a burst
	burstHand = 8                      // changes in a burst: a hand makes many
	burstJump = 3                      // and a receiver's step to its presets few
	burstRamp = 3 * fact.Second        // it may also go there slowly
	abrupt    = 60 * fact.Millisecond  // channels that were in motion changed so lately
	leapt     = 40                     // counts: a hand does not go so far from one frame to the next
	burstKept = 6
)

// burst is a stretch of bench time in which values changed again and again.
//
//	a hand stirs        holds        presets
//	/\/\/\/\/\/\________________|~~~~~~~~~~~~~~~~
//	[ burst         ]           [] burst
//	              last live
type burst struct {
	From, To, Prev fact.Time // wire times of the first change, the last and the one before that
	Frames         int       // in which something changed
	Mask           uint16    // channels that changed, a bit each
	Earlier        uint16    // before the last change
	Leap           uint16    // that went far with the last change
	Before         [servobus.Channels]uint16
	Prior          [servobus.Channels]uint16 // before the last change
	After          [servobus.Channels]uint16
	First, Last    [servobus.Channels]fact.Time
}

// bursts follows values while a loss of the signal is waited for and goes on.
type bursts struct {
	Known bool
	Now   [servobus.Channels]uint16
	List  []burst // the latest, oldest first
}

func (b *bursts) step(now *[servobus.Channels]uint16, at fact.Time) {
	was := b.Now
	b.Now = *now
	if !b.Known || was == *now {
		b.Known = true
		return
	}
	n := len(b.List)
	if n == 0 || at-b.List[n-1].To >= burstGap {
		if n == burstKept {
			b.List = append(b.List[:0], b.List[1:]...)
		}
		b.List = append(b.List, burst{From: at, To: at, Before: was})
		n = len(b.List)
	}
	b.List[n-1].change(&was, now, at)
}

func (b *burst) change(was, now *[servobus.Channels]uint16, at fact.Time) {
	b.Prev, b.To = b.To, at
	b.Frames++
	b.Earlier, b.Leap, b.Prior, b.After = b.Mask, 0, *was, *now
	for ch := range now {
		d := abs(int64(now[ch]) - int64(was[ch]))
		if d == 0 {
			continue
		}
		if b.Mask&(1<<ch) == 0 {
			b.First[ch] = at
		}
		b.Last[ch] = at
		b.Mask |= 1 << ch
		if d > leapt {
			b.Leap |= 1 << ch
		}
	}
}

// lastLive looks for the end of what hands, or the heartbeat, did: what came
// behind is the receiver's. sure: it broke off in motion, so that was the loss and
// not a hand that came to rest.
type lastLive struct {
	At     fact.Time
	Counts [servobus.Channels]uint16
	Hands  bool // there was a movement of hands, or the heartbeat
	Sure   bool
}

// last finds the last live moment. beat is the mask of the heartbeat's channel.
func (b *bursts) last(beat uint16) (l lastLive) {
	l.Counts = b.Now
	for i := len(b.List) - 1; i >= 0; i-- {
		x := &b.List[i]
		if i > 0 && x.receivers(&b.List[i-1], beat) {
			continue
		}
		l.At, l.Counts = x.To, x.After
		if x.Frames > burstHand && x.Leap&^x.Earlier != 0 {
			l.At, l.Counts = x.Prev, x.Prior // the leap at its end is the receiver's
		}
		l.Hands = x.Frames >= burstHand
		moving := x.moving(l.At)
		l.Sure = l.Hands && (moving&beat != 0 || bits.OnesCount16(moving) >= 2)
		return l
	}
	return l
}

// receivers reports that a burst is a receiver going to its presets: a step, or a
// ramp of channels that no hand had moved.
func (b *burst) receivers(before *burst, beat uint16) bool {
	if b.Frames <= burstJump {
		return true
	}
	return b.Mask&beat == 0 && b.Mask&^before.Mask != 0 && b.To-b.From <= burstRamp
}

// moving are the channels that changed shortly before a moment.
func (b *burst) moving(at fact.Time) (mask uint16) {
	for ch := range b.Last {
		before := b.Last[ch] <= at && at-b.Last[ch] <= abrupt
		if b.Mask&(1<<ch) != 0 && (before || b.Last[ch] > at && b.Earlier&(1<<ch) != 0) {
			mask |= 1 << ch
		}
	}
	return mask
}

// since tells when a channel first and last changed after a moment; 0: never.
func (b *bursts) since(at fact.Time, ch int) (first, last fact.Time) {
	for i := range b.List {
		x := &b.List[i]
		if x.Mask&(1<<ch) == 0 || x.Last[ch] <= at {
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
		last = x.Last[ch]
	}
	return first, last
}

// firstAfter is when values first changed after a moment; 0: never.
func (b *bursts) firstAfter(at fact.Time) fact.Time {
	for i := range b.List {
		if x := &b.List[i]; x.To > at {
			return max(x.From, at)
		}
	}
	return 0
}

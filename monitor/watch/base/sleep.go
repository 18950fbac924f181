package base

import (
	"math/bits"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Sleeper is a watcher of one bus that need not be shown each calm frame: it sleeps, and
// takes those that it missed at once before it is shown anything else. What it has and
// says is the same as if it had seen all of them.
//
//	frames   . . . . . . . . . . . . . x . .      x: a channel that it needs moves
//	shown    | |     asleep            | |
//	              ^ Rests          Pass^
//
// A watcher that is no Sleeper is shown every frame.
type Sleeper interface {
	Watcher
	// Rests is asked behind a calm frame that it was shown: as long as the channels that it
	// needs stand, and the frames are calm and their wire times before until, they change
	// in it what Pass does, and nothing else; nor would it say anything, or tell others
	// through the view. A time that has passed, such as 0: it must be shown the next.
	Rests(c Calm, v *View) (needs ChannelSet, until unit.Time)
	// Pass takes the latest n frames, which it was not shown, up to that of c. It reads no
	// more of the view than the sheet: what else is in there may be of a later frame.
	Pass(n int, c Calm, v *View)
}

// ChannelSet has a bit for each proportional channel, and behind those the flags of a
// frame, with the digital channels.
type ChannelSet uint64

// AllChannels are all, and all flags.
const AllChannels = ^ChannelSet(0)

// Changed are the channels that have not the same count in two frames.
func Changed(a, b *bus.Counts) (set ChannelSet) {
	const few = 8 // of which mostly none moved
	for from := 0; from < bus.MaxChannels; from += few {
		x, y := (*[few]uint32)(a[from:]), (*[few]uint32)(b[from:])
		if (x[0]^y[0])|(x[1]^y[1])|(x[2]^y[2])|(x[3]^y[3])|(x[4]^y[4])|(x[5]^y[5])|(x[6]^y[6])|(x[7]^y[7]) == 0 {
			continue
		}
		for i := range x { // without asking, since of channels that tremble a processor guesses wrong each other time
			differ := x[i] ^ y[i]
			set |= ChannelSet((differ|-differ)>>31) << (from + i)
		}
	}
	return set
}

// Pop takes the first channel out of a set that has any, counted from 0.
func (s *ChannelSet) Pop() int {
	ch := bits.TrailingZeros64(uint64(*s))
	*s &= *s - 1
	return ch
}

// SetOf is the set of a channel by its number.
func SetOf(p *bus.Protocol, channel int) ChannelSet {
	if channel <= p.Channels {
		return 1 << (channel - 1)
	}
	return ChannelSet(bus.Digital(channel-p.Channels-1)) << bus.MaxChannels
}

// RestEvery is behind how many calm frames those that are awake are asked whether they
// rest: rarely, since while sticks move most do not, and not before cleaned frames, of
// seven, are as alike as the frames.
const RestEvery = 8

// calmKept is how many wire times of calm frames are kept, a power of two: more than any
// Sleeper looks back.
const calmKept = 32

// Calm is a run of calm frames of a bus: live and undamaged, with nothing missing or
// refused between them, one a frame's time to 100 ms behind the other; and the view has no
// doubt about the tap. Its latest frame is the one that is looked at.
type Calm struct {
	Frames  int64      // so far; those before the first are not calm
	Moved   ChannelSet // those that changed in one of the latest RestEvery frames, at the least, where Rests is asked
	earlier ChannelSet // and in the RestEvery frames before those
	wires   *[calmKept]unit.Time
}

// NewCalm begins a run.
func NewCalm() Calm { return Calm{wires: new([calmKept]unit.Time)} }

// Again begins another run in its place.
func (c *Calm) Again() { c.Frames = 0 }

// Add takes the next calm frame.
func (c *Calm) Add(wire unit.Time, changed ChannelSet) {
	if c.Frames%RestEvery == 0 {
		c.earlier, c.Moved = c.Moved, 0
	}
	c.Frames++
	c.wires[c.Frames%calmKept] = wire
	c.Moved |= changed
}

// Asked is the run as Rests is asked about it, and whether it is: behind each RestEvery frames,
// or sooner, if there were as many.
func (c Calm) Asked(sooner bool) (Calm, bool) {
	if c.Frames%RestEvery == 0 {
		return c, true
	}
	c.Moved |= c.earlier
	return c, sooner && c.Frames > RestEvery
}

// Before is the run without its latest frame.
func (c Calm) Before() Calm { return Calm{Frames: c.Frames - 1, wires: c.wires} }

// Wire is the wire time of the frame so many before the latest.
func (c Calm) Wire(before int64) unit.Time { return c.wires[(c.Frames-before)%calmKept] }

// Follows reports that a frame of a tap goes on calmly behind the frame before, which was
// judged, live and at these times.
func Follows(o *event.Observation, date, wire unit.Time, v *View) bool {
	p := &o.Pace
	step := o.Wire.Sub(wire)
	return PlainFrame(o) && p.Known && p.Missing == 0 && !p.Unsure &&
		step >= v.FrameTime && step <= MaxFrameStep && o.At.Sub(date) <= MaxFrameStep
}

// PlainFrame reports a frame that may be judged and has no flag of the link.
func PlainFrame(o *event.Observation) bool {
	return o.Kind == event.FrameSeen && !o.Frame.Bad && !o.Pace.Late && o.Frame.Flags&(bus.Lost|bus.Failsafe) == 0
}

// Sure reports that nothing is under way on a tap that watchers tell one another about.
// Only then do any sleep.
func (v *View) Sure(tap uint8) bool {
	t := &v.Taps[tap]
	return v.Drill == "" && t.Locked && !t.Failsafe && !t.Leapt && !t.Froze && !t.Doubtful() &&
		t.Signal == event.SignalLive && t.UnflaggedHold.From == 0
}

package controls

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	railFrames = 5 // this many frames
	railTime   = 50 * unit.Millisecond
)

// Rail looks for channels that stand at an end of what the bus can carry, where
// anything beyond is cut off.
//
//	2047 ........./~~~~~~~~\......   ~ at the rail
//	             /^   ^     \^
//	          onset  clipped free
type Rail struct {
	Tap uint8
	At  bus.PerChannel[railState]
}

type railState struct {
	Count    uint32
	Frames   int       // in a row at Count, a rail
	Since    unit.Time // wire time of the first of them
	Last     unit.Time // and of the latest
	Reported bool
	Off      int       // frames in a row away from it, once reported
	Left     unit.Time // wire time of the first of those
}

// See implements Watcher.
func (r *Rail) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, r.Tap) {
		r.At = bus.PerChannel[railState]{}
		return
	}
	if !base.Judgeable(o, r.Tap) {
		return
	}
	for ch, count := range o.Frame.Counts[:v.Protocol.Channels] {
		p := &r.At[ch]
		switch {
		case v.Protocol.Rail(count) && (p.Frames == 0 || p.Count == count):
			r.stands(ch, count, o, v, emit)
		case p.Frames > 0:
			r.leaves(ch, o, v, emit)
		}
	}
}

func (r *Rail) stands(ch int, count uint32, o *event.Observation, v *base.View, emit event.Emit) {
	p := &r.At[ch]
	if p.Frames == 0 || !p.Reported && o.Wire.Sub(p.Last) > base.MaxFrameStep {
		*p = railState{Count: count, Since: o.Wire}
	}
	p.Frames++
	p.Last, p.Off = o.Wire, 0
	if !p.Reported && p.Frames >= railFrames && o.Wire.Sub(p.Since) >= railTime {
		p.Reported = true
		emit(event.TravelClipped, p.Since, about(ch), r.data(ch, v))
	}
}

// leaves takes a frame away from the rail. One alone settles nothing. It may
// stand at the other rail by then.
func (r *Rail) leaves(ch int, o *event.Observation, v *base.View, emit event.Emit) {
	p := &r.At[ch]
	if p.Off++; p.Off == 1 {
		p.Left = o.Wire
	}
	if p.Reported && p.Off < base.MinFrames {
		return
	}
	told, left, d := p.Reported, p.Left, r.data(ch, v)
	*p = railState{}
	if told {
		emit(event.TravelFree, left, about(ch), d)
	}
	if count := o.Frame.Counts[ch]; v.Protocol.Rail(count) {
		r.stands(ch, count, o, v, emit)
	}
}

func (r *Rail) data(ch int, v *base.View) event.TravelClippedData {
	p, t := &r.At[ch], &v.Taps[r.Tap]
	return event.TravelClippedData{
		Tap: t.Name, Channel: ch + 1, Count: int64(p.Count), WidthNS: v.Sheet.Width(p.Count),
		DwellNS: p.Last.Sub(p.Since), Signal: t.Signal,
	}
}

// about is how events name a channel by its index.
func about(ch int) string { return event.AboutChannel.Numbered(ch + 1) }

// Rests implements base.Sleeper: what stands at a rail was reported.
func (r *Rail) Rests(c base.Calm, _ *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 {
		return 0, 0
	}
	for ch := range r.At {
		if p := &r.At[ch]; p.Frames > 0 && (!p.Reported || p.Off > 0) {
			return 0, 0
		}
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (r *Rail) Pass(n int, c base.Calm, _ *base.View) {
	for ch := range r.At {
		if p := &r.At[ch]; p.Frames > 0 {
			p.Frames += n
			p.Last = c.Wire(0)
		}
	}
}

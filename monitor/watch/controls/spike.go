package controls

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	spikeBefore = 10 // frames that a channel stood before
	spikeCounts = 24 // quanta that it goes away
	spikeReturn = 2  // quanta within which it comes back
	spikeFrames = 3  // frames that it is away at most

	// only a few a second are reported for a tap. Where the port can't mark
	// bad characters, damage passes for frames and makes sixteen of them at once:
	// those beyond are not reported, and no event says how many there were.
	spikesReported = 10
)

// Spike looks for a channel that leaves its value for a frame or a few and comes
// back to it: no hand does that. Damaged frames, and flagged ones, break off: what
// stands beside damage may be damage too.
//
//	       _
//	______| |______
//	      ^ away for one to three frames
type Spike struct {
	Tap     uint8
	Last    unit.Time // wire time of the last frame
	Refused int64     // bytes refused since
	At      bus.PerChannel[steadyValue]

	Second   unit.Time // wire time of the first spike of those
	Reported int       // that were reported within a second
}

type steadyValue struct {
	Value uint32 // that it stood at
	Stood int    // frames; 0: none known
	Away  int    // frames away from it
	Far   uint32 // the farthest of those
	Since unit.Time
}

// See implements Watcher.
func (s *Spike) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, s.Tap):
		s.reset()
	case o.Tap != s.Tap:
	case o.Kind == event.BytesRefused:
		s.Refused += o.Refused.Total()
	case o.Kind == event.FrameSeen:
		s.frame(o, v, emit)
	}
}

func (s *Spike) reset() { s.At = bus.PerChannel[steadyValue]{} }

func (s *Spike) frame(o *event.Observation, v *base.View, emit event.Emit) {
	damaged := o.Frame.Bad || s.Refused >= int64(v.Protocol.FrameLen/2) // fewer may be talk between frames
	s.Refused = 0
	if damaged || base.SignalOf(o.Frame) != event.SignalLive || o.Wire.Sub(s.Last) > base.MaxFrameStep {
		s.reset()
	}
	if !base.Judgeable(o, s.Tap) {
		return
	}
	s.Last = o.Wire
	for ch, count := range o.Frame.Counts[:v.Protocol.Channels] {
		if p := &s.At[ch]; p.Away == 0 && count == p.Value && p.Stood > 0 { // nearly always
			p.Stood++
			continue
		}
		s.channel(ch, count, o, v, emit)
	}
}

func (s *Spike) channel(ch int, count uint32, o *event.Observation, v *base.View, emit event.Emit) {
	p, quantum := &s.At[ch], int64(v.Quantum)
	far := unit.Abs(int64(count) - int64(p.Value))
	switch {
	case p.Stood == 0:
		*p = steadyValue{Value: count, Stood: 1}
	case p.Away == 0 && p.Stood >= spikeBefore && far >= spikeCounts*quantum:
		p.Away, p.Far, p.Since = 1, count, o.Wire
	case p.Away > 0 && far <= spikeReturn*quantum:
		s.report(ch, p, o, v, emit)
		*p = steadyValue{Value: count, Stood: 1}
	case p.Away > 0 && p.Away < spikeFrames:
		p.Away++
		if far > unit.Abs(int64(p.Far)-int64(p.Value)) {
			p.Far = count
		}
	default:
		*p = steadyValue{Value: count, Stood: 1}
	}
}

func (s *Spike) report(ch int, p *steadyValue, o *event.Observation, v *base.View, emit event.Emit) {
	if s.Reported == 0 || o.Wire.Sub(s.Second) >= unit.Second {
		s.Second, s.Reported = o.Wire, 0
	}
	if s.Reported++; s.Reported > spikesReported {
		return
	}
	emit(event.ValueSpiked, p.Since, about(ch), event.ValueSpikedData{
		Tap: v.Taps[s.Tap].Name, Channel: ch + 1, Frames: p.Away,
		FromNS: v.Sheet.Width(p.Value), ToNS: v.Sheet.Width(p.Far),
	})
}

// Rests implements base.Sleeper: no channel is away.
func (s *Spike) Rests(c base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 {
		return 0, 0
	}
	for ch := range s.At[:v.Protocol.Channels] {
		if p := &s.At[ch]; p.Stood == 0 || p.Away > 0 {
			return 0, 0
		}
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (s *Spike) Pass(n int, c base.Calm, v *base.View) {
	for ch := range s.At[:v.Protocol.Channels] {
		s.At[ch].Stood += n
	}
	s.Last = c.Wire(0)
}

package controls

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	sweepRest  = 300 * unit.Millisecond // standing this long is at rest
	sweepGrain = 2                      // quanta that a knob at rest may tremble in all, one either way
	sweepLeap  = 240                    // quanta from one frame to the next that no hand turns a knob by
	sweepMoves = 8                      // quanta: less is no movement
)

// Sweep reports each movement of the gain control, from rest to rest, and the
// range that it covered, by cleaned frames: what three frames or fewer have is not
// there.
//
//	        ____
//	       /    \        least, most
//	______/      \_____
//	from  ^ onset   to ^ reported
type Sweep struct {
	Tap   uint8
	Known bool
	Rest  int64 // counts where it rested; only with Known

	Have   bool
	Last   unit.Time // its wire time
	Low    int64     // it stands between this count
	High   int64     // and this one,
	Since  unit.Time // since
	Frames int       // for this many frames

	Moved bool
	Doubt bool      // what moved it may have been a preset; only with Moved
	Begun unit.Time // when it left its rest; only with Moved
	Least int64
	Most  int64
}

// See implements Watcher.
func (s *Sweep) See(o *event.Observation, v *base.View, emit event.Emit) {
	samples, signal := v.Cleaned(s.Tap).Ready, v.Taps[s.Tap].Signal
	if signal == event.SignalFailsafe || signal == event.SignalLost { // a plain frame in there is no hand yet
		samples = nil
	}
	for i := range samples {
		if samples[i].Flags&(bus.Lost|bus.Failsafe) == 0 {
			s.sample(&samples[i], v, emit)
		}
	}
	if base.TapClosed(o, s.Tap) {
		*s = Sweep{Tap: s.Tap}
	}
}

func (s *Sweep) sample(x *base.CleanFrame, v *base.View, emit event.Emit) {
	c, quantum := int64(x.Counts[v.Sheet.Gain.Channel-1]), int64(v.Quantum)
	doubt := v.Taps[s.Tap].Suspect || s.Have && (x.First || unit.Abs(c-s.Low) >= sweepLeap*quantum)
	if !s.Have || x.Wire.Sub(s.Last) > base.MaxFrameStep || max(s.High, c)-min(s.Low, c) > sweepGrain*quantum {
		s.stands(c, x.Wire)
	}
	s.Have, s.Low, s.High = true, min(s.Low, c), max(s.High, c)
	s.follow(c, quantum, x.Wire, doubt)
	s.Frames++
	s.Last = x.Wire
	if s.Frames >= base.SettleFrames && x.Wire.Sub(s.Since) >= sweepRest {
		s.rest(v, emit)
	}
}

// stands begins to count how long the control stands.
func (s *Sweep) stands(c int64, since unit.Time) {
	s.Low, s.High, s.Since, s.Frames = c, c, since, 0
}

// follow takes a count into the movement under way, or begins one.
func (s *Sweep) follow(c, quantum int64, wire unit.Time, doubt bool) {
	if !s.Known {
		return
	}
	if !s.Moved && unit.Abs(c-s.Rest) >= sweepMoves*quantum {
		s.Moved, s.Doubt, s.Begun, s.Least, s.Most = true, false, wire, s.Rest, s.Rest
		s.stands(c, wire) // not where it rested before, however near that is
	}
	if s.Moved {
		s.Doubt = s.Doubt || doubt
		s.Least, s.Most = min(s.Least, c), max(s.Most, c)
	}
}

// rest takes it that the control stands.
func (s *Sweep) rest(v *base.View, emit event.Emit) {
	from, at := s.Rest, (s.Low+s.High)/2
	switch {
	case !s.Known:
		s.Known, s.Rest = true, at
	case s.Moved:
		s.Moved, s.Rest = false, at
		s.report(from, v, emit)
	}
}

func (s *Sweep) report(from int64, v *base.View, emit event.Emit) {
	t := &v.Taps[s.Tap]
	width := func(count int64) unit.Width { return v.Sheet.Width(uint32(count)) }
	a, b := width(s.Least), width(s.Most)
	d := event.GainSweptData{
		Tap: t.Name, Channel: v.Sheet.Gain.Channel, FromNS: width(from), ToNS: width(s.Rest),
		LeastNS: min(a, b), MostNS: max(a, b), Signal: t.Signal, Suspect: t.Suspect || s.Doubt,
	}
	emit(event.GainSwept, s.Begun, about(d.Channel-1), d)
}

// HasGainSweep reports whether the sheet has a gain control that a hand can sweep.
func HasGainSweep(s *sheet.Sheet) bool {
	if s.Gain == nil {
		return false
	}
	c, ok := s.Channel(s.Gain.Channel)
	return ok && (c.Kind == sheet.Knob || c.Kind == sheet.Stick)
}

// Rests implements base.Sleeper: the control stands where it rests.
func (s *Sweep) Rests(c base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	gain := base.SetOf(v.Protocol, v.Sheet.Gain.Channel)
	if c.Moved&gain != 0 || !s.Have || !s.Known || s.Moved {
		return 0, 0
	}
	return gain, unit.Never
}

// Pass implements base.Sleeper.
func (s *Sweep) Pass(n int, c base.Calm, _ *base.View) {
	s.Frames += n
	s.Last = c.Cleaned()
}

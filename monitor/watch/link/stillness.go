package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Why values are known to move, in event.ValuesStillData.
const (
	becauseHeartbeat = "heartbeat"
	becauseMoved     = "stirred"
	becauseLeapt     = "leapt"
)

// Stillness looks for values that are not the transmitter's although no flag says so:
// a receiver that holds or goes to presets without a word. Transmitters filter, so a
// link at rest sends the same values for hours; only a heartbeat shows (see heartbeatState), or
// sticks that freeze in motion and leap (see suspicion). What may have been a hand as
// well is reported as a pause.
//
//	aileron    /\/\/\/\____________|\/\/
//	elevator  \/\/\/\/\____________|/\/\
//	                   ^ onset     ^ still, once it is over
//
// Only live frames are looked at: what is flagged is known anyway.
type Stillness struct {
	Tap  uint8
	Wire unit.Time // of the live frame before, 0: none

	Counts   bus.Counts         // of that frame
	Reported bool               // that the heartbeat stopped, and it is not over
	Stop     base.UnflaggedHold // what is known of that
	Paused   unit.Time          // the latest pause that was reported began then, wire time

	Heartbeat heartbeatState
	Values    unflagged
}

// See implements Watcher.
func (s *Stillness) See(o *event.Observation, v *base.View, emit event.Emit) {
	t := &v.Taps[s.Tap]
	t.UnflaggedHold = base.UnflaggedHold{}
	samples := v.Cleaned(s.Tap).Ready
	for i := range samples {
		s.sample(&samples[i], v, emit)
	}
	if base.TapClosed(o, s.Tap) {
		if s.Reported {
			t.UnflaggedHold = s.closed()
		} else {
			held, stood := s.Values.rest(v)
			s.found(held, stood, v, emit)
		}
		*s = Stillness{Tap: s.Tap, Heartbeat: heartbeatState{Moves: s.Heartbeat.Moves, Pause: s.Heartbeat.Pause}}
	}
	t.Stopped = s.Reported
}

// closed is what is known of a heartbeat that stopped and is no longer watched. What moved a
// moment ago may have been the first of the live frames, or the receiver on its way to a preset; what
// came behind a gap a moment ago may be live too.
func (s *Stillness) closed() base.UnflaggedHold {
	hold := s.Stop
	if hold.Back = -1; s.Stop.Back > s.Stop.To && s.Wire.Sub(s.Stop.Back) < s.Heartbeat.limit() {
		return hold
	}
	hold.To, hold.Now = s.Wire, s.Counts
	if x := s.Values.Moves.latest(); x != nil && x.From > hold.From && s.Wire.Sub(x.To) < s.Heartbeat.limit() {
		hold.To, hold.Now = x.From.Add(-1), x.Before
	}
	return hold
}

func (s *Stillness) sample(x *base.CleanFrame, v *base.View, emit event.Emit) {
	s.follow(x, v)
	if x.Flags&(bus.Lost|bus.Failsafe) != 0 {
		s.Wire = 0
		return
	}
	s.heartbeat(x, v, emit)
	if held, stood := s.Values.step(x, v); held != nil || stood != nil {
		s.found(held, stood, v, emit)
	}
	t, d := &v.Taps[s.Tap], &s.Values.Doubt
	t.Leapt, t.Froze = d.From != 0 && d.Because == becauseLeapt, d.Because == becauseMoved
	s.Wire, s.Counts = x.Wire, x.Counts
}

// follow lets go of what a frame does not go on with: behind a gap, or another signal.
func (s *Stillness) follow(x *base.CleanFrame, v *base.View) {
	switch signal := v.Taps[s.Tap].Signal; {
	case x.First && s.Reported:
		s.mayBeBack(x)
		s.reset()
	case x.First && s.Values.goesOn(x): // read late in between, or lacking
		s.Wire = 0
	case x.First, signal != event.SignalLive && signal != event.SignalMissed && signal != "":
		s.reset()
	case signal == event.SignalMissed:
		s.Wire = 0
	}
}

// mayBeBack notes that live frames may begin again behind a gap of the line. In a long one, as where a
// port was read late, they may have begun too, and the first that are read may be of before it: what was watched
// ends with the last before the gap.
func (s *Stillness) mayBeBack(x *base.CleanFrame) {
	stop := &s.Stop
	behindLong := stop.Back.Sub(stop.To) >= base.MaxFrameStep && x.Wire.Sub(stop.Back) < base.MaxFrameStep
	switch {
	case s.Wire != 0 && x.Wire.Sub(s.Wire) >= base.MaxFrameStep:
		stop.To, stop.Now = s.Wire, s.Counts
	case !behindLong:
		stop.To, stop.Now = x.Wire.Add(-1), s.Counts
	}
	stop.Back = x.Wire
}

// reset lets go of what was under way.
func (s *Stillness) reset() {
	s.Wire = 0
	s.Values.reset()
}

func (s *Stillness) heartbeat(x *base.CleanFrame, v *base.View, emit event.Emit) {
	if v.Sheet.Heartbeat == nil {
		return
	}
	h, t := &s.Heartbeat, &v.Taps[s.Tap]
	passed := unit.Duration(0) // since the frame before, if that was heard
	if s.Wire != 0 {
		passed = x.Wire.Sub(s.Wire)
	}
	moved := h.step(x.Counts[v.Sheet.Heartbeat.Channel-1], x.Wire, passed, s.Reported)
	switch {
	case s.Reported && moved:
		s.beatsAgain(x, t, emit)
	case moved && h.Moves == heartbeatMoves:
		emit(event.ValuesMoving, x.Wire, t.About(), event.ValuesStillData{Tap: t.Name, Because: becauseHeartbeat})
	case !s.Reported && h.stopped(within(v)):
		h.Backs, s.Reported = 0, true
		last := s.Values.Moves.last(heartbeatMask(v), v)
		s.Stop = base.UnflaggedHold{From: max(last.At, h.Since), Because: becauseHeartbeat, Was: last.Counts}
		emit(event.ValuesStill, h.Since, t.About(), event.ValuesStillData{Tap: t.Name, ForNS: x.Wire.Sub(h.Since), Because: becauseHeartbeat})
	}
}

// beatsAgain takes a movement of a heartbeat that had stopped. Live frames begin with
// the first of these, or with the gap of the line just before it, or with what moved a packet before.
func (s *Stillness) beatsAgain(x *base.CleanFrame, t *base.Tap, emit event.Emit) {
	h := &s.Heartbeat
	if h.Again == x.Wire && (s.Stop.Back == 0 || x.Wire.Sub(s.Stop.Back) > heartbeatStands) {
		s.Stop.To, s.Stop.Back, s.Stop.Now = x.Wire.Add(-1), x.Wire, s.Counts
		if b := s.Values.Moves.latest(); b != nil && x.Wire.Sub(b.From) <= packet {
			s.Stop.To, s.Stop.Back, s.Stop.Now = b.From.Add(-1), b.From, b.Before
		}
	}
	if !h.beatAgain() {
		return
	}
	s.Reported = false
	t.UnflaggedHold, t.Back = s.Stop, s.Stop.Back
	emit(event.ValuesMoving, h.Again, t.About(), event.ValuesStillData{Tap: t.Name, ForNS: h.Again.Sub(s.Stop.From), Because: becauseHeartbeat})
}

// found reports what was found in the values. A heartbeat says the same, and better.
func (s *Stillness) found(held, stood *base.UnflaggedHold, v *base.View, emit event.Emit) {
	t := &v.Taps[s.Tap]
	if s.Reported || s.Heartbeat.Moves >= heartbeatMoves {
		return
	}
	switch {
	case held != nil:
		back := max(held.Back, held.To)
		d := event.ValuesStillData{Tap: t.Name, ForNS: back.Sub(held.From), Because: held.Because}
		emit(event.ValuesStill, held.From, t.About(), d)
		if held.Back >= 0 {
			emit(event.ValuesMoving, held.Back, t.About(), d)
			t.Suspect, t.Back = false, held.Back
		}
		t.UnflaggedHold = *held
	case stood != nil && stood.From > s.Paused: // a channel that moves meanwhile makes no other pause
		s.Paused = stood.From
		emit(event.ValuesPaused, stood.From, t.About(), event.ValuesStillData{Tap: t.Name, ForNS: stood.To.Sub(stood.From), Because: stood.Because})
	}
}

// Rests implements base.Sleeper: nothing moves, and no suspicion is under way, until the
// heartbeat has stood for too long.
func (s *Stillness) Rests(c base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || s.Wire == 0 || s.Reported || !s.Values.rests() {
		return 0, 0
	}
	until := unit.Never
	if h := &s.Heartbeat; v.Sheet.Heartbeat != nil && h.Moves >= heartbeatMoves {
		until = s.Wire.Add(max(h.limit(), within(v)) - h.Stood)
	}
	return base.AllChannels, until
}

// Pass implements base.Sleeper.
func (s *Stillness) Pass(_ int, c base.Calm, v *base.View) {
	if v.Sheet.Heartbeat != nil {
		s.Heartbeat.Stood += c.Cleaned().Sub(s.Wire)
	}
	s.Wire, s.Values.Before = c.Cleaned(), c.Cleaned()
}

package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

// Why values are known to move, in fact.StillData.
const (
	becauseHeartbeat = "heartbeat"
	becauseStirred   = "stirred"
)

// Stillness looks for values that stand identical although something is known to
// move, and no flag says so: a receiver that holds without a word. Transmitters
// filter, so a link at rest sends the same values for hours; only a heartbeat
// tells (see heart), or sticks that freeze in full motion (see stir).
//
//	aileron    /\/\/\/\____________
//	elevator  \/\/\/\/\____________
//	                   ^ onset     ^ still
//
// Only live frames are looked at: what is flagged is known anyway.
type Stillness struct {
	Tap    uint8
	Have   bool // Counts and Wire are those of the frame before, a live one
	Counts [servobus.Channels]uint16
	Wire   fact.Time

	Told  string    // because of what values.still was told; "": it was not, or is over
	Onset fact.Time // of that

	Heart heart
	Stir  stir
}

// See implements Watcher.
func (s *Stillness) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, s.Tap) {
		*s = Stillness{Tap: s.Tap, Heart: heart{Moves: s.Heart.Moves, Pause: s.Heart.Pause}}
		return
	}
	if !judged(o, s.Tap) {
		return
	}
	if signalOf(o.Frame) != fact.Live || s.Have && o.Wire-s.Wire > apart {
		s.Have = false
		s.Stir.forget()
		s.Heart.Off = 0
	}
	if signalOf(o.Frame) != fact.Live {
		return
	}
	s.heartbeat(o, v, emit)
	s.stirred(o, v, emit)
	s.Have, s.Counts, s.Wire = true, o.Frame.Counts, o.Wire
}

func (s *Stillness) heartbeat(o *fact.Observation, v *View, emit fact.Emit) {
	if v.Sheet.Heartbeat == nil {
		return
	}
	h := &s.Heart
	passed := fact.Time(0) // since the frame before, if that was heard
	if s.Have {
		passed = o.Wire - s.Wire
	}
	moved := h.step(o.Frame.Counts[v.Sheet.Heartbeat.Channel-1], o.Wire, passed, s.Told == becauseHeartbeat)
	switch {
	case s.Told == becauseHeartbeat && h.again():
		s.moving(h.Again, v, emit)
	case moved && h.Moves == heartMoves:
		emit(fact.ValuesMoving, o.Wire, v.Taps[s.Tap].About(), fact.StillData{Tap: v.Taps[s.Tap].Name, Because: becauseHeartbeat})
	case s.Told == "" && h.stopped():
		h.Backs = 0
		s.still(becauseHeartbeat, h.Since, o, v, emit)
	}
}

func (s *Stillness) stirred(o *fact.Observation, v *View, emit fact.Emit) {
	if !s.Have {
		s.Stir.begin(o)
		return
	}
	moves := s.Stir.step(o, &s.Counts)
	switch {
	case s.Told == becauseStirred:
		if s.Stir.again(o, moves) && !v.Taps[s.Tap].Suspect {
			s.moving(s.Stir.Again, v, emit)
		}
	case s.Told == "" && s.Stir.froze(o, v.Sheet):
		s.still(becauseStirred, s.Stir.Since, o, v, emit)
	}
}

func (s *Stillness) still(because string, onset fact.Time, o *fact.Observation, v *View, emit fact.Emit) {
	s.Told, s.Onset = because, onset
	t := &v.Taps[s.Tap]
	emit(fact.ValuesStill, onset, t.About(), fact.StillData{Tap: t.Name, ForNS: o.Wire - onset, Because: because})
}

func (s *Stillness) moving(onset fact.Time, v *View, emit fact.Emit) {
	d := fact.StillData{Tap: v.Taps[s.Tap].Name, ForNS: onset - s.Onset, Because: s.Told}
	s.Told = ""
	emit(fact.ValuesMoving, onset, v.Taps[s.Tap].About(), d)
}

// Due implements Watcher.
func (s *Stillness) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (s *Stillness) Expire(fact.Time, *View, fact.Emit) {}

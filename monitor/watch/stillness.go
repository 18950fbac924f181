package watch

import (
	"math/bits"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

const (
	stillStirred = 300 * fact.Millisecond // all values stand so long although sticks were in full motion
	stillBeat    = fact.Second            // the heartbeat stands so long, at least,
	stillPauses  = 3                      // and so many times as long as it ever did
	stirWindow   = 8                      // frames in which a channel that is stirred
	stirChanges  = 3                      // changes so often, packets being slower than frames,
	stirCounts   = 24                     // and goes so far
)

// Stillness looks for values that stand identical although something is known to
// move, and no flag says so: a receiver that holds without a word. Transmitters
// filter, so a link at rest sends the same values for hours; only a heartbeat, or
// two sticks that freeze in full motion within the same frame, tell.
//
//	aileron    /\/\/\/\____________
//	elevator  \/\/\/\/\____________
//	                   ^ onset     still
type Stillness struct {
	Tap    uint8
	Have   bool
	Counts [servobus.Channels]uint16
	Wire   fact.Time // of the last live frame
	Since  fact.Time // wire time since which all values stand

	Changed [servobus.Channels]uint8 // the last eight frames, a bit each, newest lowest
	Went    [servobus.Channels]int64 // counts covered lately
	Stirred bool                     // two channels were in full motion when all stopped
	Told    string                   // why, "" for not told

	Beats bool      // the heartbeat was seen to move
	Beat  fact.Time // when it last moved
	Pause fact.Time // the longest time between two of its movements
	Seen  bool      // that it beats was told
}

// See implements Watcher.
func (s *Stillness) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, s.Tap) {
		*s = Stillness{Tap: s.Tap, Seen: s.Seen}
		return
	}
	if !judged(o, s.Tap) {
		return
	}
	if signalOf(o.Frame) != fact.Live || s.Have && o.Wire-s.Wire > apart {
		// What is flagged is known anyway; what is silent is no value.
		*s = Stillness{Tap: s.Tap, Seen: s.Seen}
		return
	}
	if s.Have {
		s.frame(o, v, emit)
	} else {
		s.Since, s.Beat = o.Wire, o.Wire
	}
	s.Have, s.Counts, s.Wire = true, o.Frame.Counts, o.Wire
}

func (s *Stillness) frame(o *fact.Observation, v *View, emit fact.Emit) {
	moves := o.Frame.Counts != s.Counts
	if moves {
		if s.Told == "stirred" {
			s.tell(fact.ValuesMoving, o.Wire, "stirred", v, emit)
		}
		s.Stirred = false
	}
	stirred := s.stir(o)
	switch {
	case moves:
		s.Since, s.Stirred = o.Wire, stirred
	case s.Stirred && s.Told == "" && o.Wire-s.Since >= stillStirred:
		s.tell(fact.ValuesStill, s.Since, "stirred", v, emit)
	}
	s.heartbeat(o, v, emit)
}

// stir follows each channel and reports whether two or more are in full motion.
func (s *Stillness) stir(o *fact.Observation) bool {
	n := 0
	for ch, now := range o.Frame.Counts {
		d := abs(int64(now) - int64(s.Counts[ch]))
		s.Changed[ch] <<= 1
		if d > 0 {
			s.Changed[ch] |= 1
		}
		s.Went[ch] += d - s.Went[ch]/stirWindow
		if d > 0 && bits.OnesCount8(s.Changed[ch]) >= stirChanges && s.Went[ch] >= stirCounts*2 {
			n++
		}
	}
	return n >= 2
}

func (s *Stillness) heartbeat(o *fact.Observation, v *View, emit fact.Emit) {
	h := v.Sheet.Heartbeat
	if h == nil {
		return
	}
	since := o.Wire - s.Beat
	if o.Frame.Counts[h.Channel-1] != s.Counts[h.Channel-1] {
		if s.Told == "heartbeat" {
			s.tell(fact.ValuesMoving, o.Wire, "heartbeat", v, emit)
		} else if s.Beats {
			s.Pause = max(s.Pause, since)
			if !s.Seen {
				s.Seen = true
				s.tell(fact.ValuesMoving, o.Wire, "heartbeat", v, emit)
			}
		}
		s.Beats, s.Beat = true, o.Wire
		return
	}
	if s.Beats && s.Told == "" && since >= max(stillBeat, stillPauses*s.Pause) {
		s.Since = s.Beat
		s.tell(fact.ValuesStill, s.Beat, "heartbeat", v, emit)
	}
}

func (s *Stillness) tell(kind string, from fact.Time, because string, v *View, emit fact.Emit) {
	t := &v.Taps[s.Tap]
	d := fact.StillData{Tap: t.Name, Because: because}
	if s.Told != "" || kind == fact.ValuesStill {
		d.ForNS = s.Wire - s.Since
	}
	s.Told = ""
	if kind == fact.ValuesStill {
		s.Told = because
	}
	emit(kind, from, t.About(), d)
}

// Due implements Watcher.
func (s *Stillness) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (s *Stillness) Expire(fact.Time, *View, fact.Emit) {}

package state

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Condition is how a tap does. Nothing but Tap.Condition decides which: whoever speaks of the
// present has words for each of them, and no idea of their own.
type Condition string

// The conditions of a tap, from a port that is shut to a link that is live.
const (
	ConditionNotYetOpen  Condition = "not open yet"  // its port was not opened in this run
	ConditionNotOpen     Condition = "not open"      // any more, or it can't be opened: Tap.Why
	ConditionNothingIn   Condition = "nothing in"    // the port is open, and not one character came
	ConditionUnreadable  Condition = "unreadable"    // characters came, but no frame, or no line of a board
	ConditionNoPulse     Condition = "no pulse"      // the capture board is heard, but none of its inputs
	ConditionSilent      Condition = "silent"        // since Tap.LastNS
	ConditionNoLiveFrame Condition = "no live frame" // the receiver has flagged each frame as lost for half a second or more
	ConditionFailsafe    Condition = "failsafe"      // the receiver acts on its own
	ConditionLive        Condition = "live"          // frames come, or pulses; some may be missed on the air
)

// Conditions are all there are.
func Conditions() []Condition {
	return []Condition{ConditionNotYetOpen, ConditionNotOpen, ConditionNothingIn, ConditionUnreadable, ConditionNoPulse, ConditionSilent,
		ConditionNoLiveFrame, ConditionFailsafe, ConditionLive}
}

// Condition is how the tap does.
func (t *Tap) Condition() Condition {
	switch {
	case !t.Up && t.Why == "":
		return ConditionNotYetOpen
	case !t.Up:
		return ConditionNotOpen
	case t.LineFault != nil && t.LineFault.Cause != nothingArrives:
		return ConditionUnreadable
	case !t.Locked:
		return t.unheard()
	}
	switch t.Signal {
	case event.SignalLost:
		return ConditionNoLiveFrame
	case event.SignalFailsafe:
		return ConditionFailsafe
	case event.SignalMissed, event.SignalLive:
	}
	return ConditionLive
}

// nothingArrives is the cause of a line that is silent, not unreadable.
const nothingArrives = "nothing"

// unheard is the condition of an open port from which neither frames nor pulses come.
func (t *Tap) unheard() Condition {
	switch {
	case t.LastNS >= 0:
		return ConditionSilent
	case t.Bytes == 0:
		return ConditionNothingIn
	case t.Board != nil && t.Board.Lines > 0:
		return ConditionNoPulse
	}
	return ConditionUnreadable
}

// IsHeard reports whether frames come, or pulses: what a tap says of them is not old.
func (c Condition) IsHeard() bool {
	return c == ConditionLive || c == ConditionFailsafe || c == ConditionNoLiveFrame
}

// HasValues reports whether somebody says what the channels are at, be it the transmitter or
// the receiver by itself. What a receiver repeats that hears nothing is old.
func (c Condition) HasValues() bool { return c == ConditionLive || c == ConditionFailsafe }

// RecorderTrouble is what is wrong with the evidence.
type RecorderTrouble string

// The troubles of a recorder.
const (
	TroubleDiskStalled  RecorderTrouble = "disk stalled"  // it has not answered for two seconds
	TroubleNotRecording RecorderTrouble = "not recording" // what is heard now is lost to the recording
	TroubleDisk         RecorderTrouble = "disk"          // it refused something, and that is not made up for
)

// Troubles are those of a recorder, none where all is well. Recorder.Trouble is the disk's
// own word for it, where there is one.
func (r *Recorder) Troubles() (list []RecorderTrouble) {
	if r.Stalled {
		list = append(list, TroubleDiskStalled)
	}
	if !r.Recording {
		list = append(list, TroubleNotRecording)
	}
	if len(list) == 0 && r.Trouble != "" {
		list = append(list, TroubleDisk)
	}
	return list
}

// usualLag is how far judgement may be behind: a beat goes through it each second.
const usualLag = 3 * unit.Second

// Behind is how far judgement is behind what is heard, 0 where that is usual.
func (s *State) Behind() unit.Duration {
	if lag := s.NowNS.Sub(s.SeenNS); lag > usualLag {
		return lag
	}
	return 0
}

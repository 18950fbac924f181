package watch

import (
	"slices"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

const (
	lossFrozen = 1500 * fact.Millisecond // values that moved stand so long: the signal is gone
	lossStands = fact.Second             // values stand so long: they have settled
	lossMost   = 6 * fact.Second         // so long past what the sheet allows: they never will
	flagLate   = 200 * fact.Millisecond  // values may stand so long before a flag that is in time
	lossMissed = fact.Second             // in the drill, frames flagged as missed for so long are a loss
)

// Loss measures what the receiver does when the signal is lost, from the last
// frame known live until the signal is back. In the failsafe drill it also sees
// losses that no flag dates: what moved stands still, or leaps and then stands.
// Outside, only the failsafe flag begins one.
//
//	step      off               settle               on     back
//	stirred /\/\/\/\____________|------------------------------|/\/\/
//	              ^ last live   ^ settled                 ^ said ^ first live
type Loss struct {
	Tap  uint8
	Step string // of the failsafe drill, see fact.PromptStep

	Linked bool      // live frames come
	Since  fact.Time // the first of them
	LiveAt fact.Time // the latest frame without a flag
	Live   [servobus.Channels]uint16
	Heard  fact.Time // the latest frame

	Flags  flagRun
	Plain  int       // frames in a row without a flag
	Plains fact.Time // the first of them

	Moves bursts
	Open  *loss // under way
	Over  bool  // the one that this round of the drill is about
}

// loss is one that is under way.
type loss struct {
	Drill   string
	At      fact.Time // the last live frame
	By      string    // how that is known
	Was     [servobus.Channels]uint16
	Up      fact.Time // for how long the link had been up
	Flags   flagRun
	Silent  fact.Time // last frame before the bus fell silent, 0: it did not
	Settled bool
	Stop    fact.Time // end of what was watched, 0: it goes on
	Seen    bursts    // as they were then
	On      fact.Time // the builder said that the transmitter is on, 0: not yet
}

// See implements Watcher.
func (l *Loss) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, l.Tap) {
		if l.Open != nil {
			l.end(-1, v, emit)
		}
		*l = Loss{Tap: l.Tap, Step: l.Step}
	} else {
		l.follow(v, emit)
		switch {
		case judged(o, l.Tap):
			l.frame(o, v, emit)
		case o.Kind == fact.Beat:
			l.beat(o, v)
		}
	}
	t := &v.Taps[l.Tap]
	t.Loss, t.LossAt = l.phase(), 0
	if l.Open != nil {
		t.LossAt = l.Open.At
	}
}

// phase is what a drill waits for.
func (l *Loss) phase() string {
	switch {
	case l.Over:
		return fact.LossOver
	case l.Open == nil:
		return ""
	case l.Open.Settled:
		return fact.LossSettled
	}
	return fact.LossBegan
}

// follow takes note of where the drill is.
func (l *Loss) follow(v *View, emit fact.Emit) {
	step := ""
	if v.Drill == fact.FailsafeDrill {
		step = fact.PromptStep(v.Prompt)
	}
	if step == l.Step {
		return
	}
	l.Step = step
	switch step {
	case fact.PromptOff:
		l.Moves, l.Over = bursts{}, false
	case fact.PromptSettle:
		l.said(v)
	case fact.PromptOn:
		if l.Open != nil {
			l.stop()
		}
	case fact.PromptBack:
		if l.Open != nil {
			l.Open.On = v.PromptAt
		}
	default: // the round is over, whatever became of it
		if l.Open != nil && l.Open.Drill != "" {
			l.end(-1, v, emit)
		}
		l.Over = false
	}
}

// said begins a loss that the builder told of and the wire did not.
func (l *Loss) said(v *View) {
	if l.Open == nil && l.Linked {
		l.begin(l.Moves.last(heartbeat(v)), "builder", v)
	}
}

func (l *Loss) frame(o *fact.Observation, v *View, emit fact.Emit) {
	l.Heard = o.Wire
	l.flags(o)
	l.move(o)
	switch {
	case l.Open != nil:
		l.goesOn(o, v, emit)
	case l.Linked && (l.Flags.Given >= twice || l.missed(o) || l.frozen(o, v)):
		l.found(v)
	}
	if l.Open == nil && l.Plain > 0 {
		l.Live, l.LiveAt = o.Frame.Counts, o.Wire
	}
}

// move follows the values while a loss is awaited or goes on. Frames without a
// flag that come in a flagged loss are not the receiver's doing.
func (l *Loss) move(o *fact.Observation) {
	switch {
	case l.Open == nil && l.Flags.Frames == 0 && l.Step != fact.PromptOff:
		l.Moves = bursts{}
		return
	case l.Open != nil && l.Open.flagged() && l.Plain > 0 && l.Open.Stop == 0:
		return
	case !l.Moves.Known && l.Flags.Frames > 0:
		l.Moves.Known, l.Moves.Now = true, l.Live
	}
	l.Moves.step(&o.Frame.Counts, o.Wire)
}

// missed: the builder was asked to switch off, and frames have been flagged as
// missed for long.
func (l *Loss) missed(o *fact.Observation) bool {
	return l.Step == fact.PromptOff && l.Flags.Frames >= twice && o.Wire-l.Flags.From >= lossMissed
}

// frozen: the builder was asked to switch off, and what moved stands.
func (l *Loss) frozen(o *fact.Observation, v *View) bool {
	n := len(l.Moves.List)
	if l.Step != fact.PromptOff || n == 0 || o.Wire-l.Moves.List[n-1].To < lossFrozen {
		return false
	}
	return l.Moves.last(heartbeat(v)).Sure
}

// found dates a loss that the wire shows. Movement that broke off dates it better
// than a flag that came late.
func (l *Loss) found(v *View) {
	moved := l.Moves.last(heartbeat(v))
	late := l.Flags.Frames == 0 || l.LiveAt-moved.At > flagLate
	if l.Step != fact.PromptOff || !moved.Sure || !late {
		l.begin(lastLive{At: l.LiveAt, Counts: l.Live}, "flags", v)
		return
	}
	by := "stirred"
	if v.Sheet.Heartbeat != nil {
		by = "heartbeat"
	}
	l.begin(moved, by, v)
}

func (l *Loss) begin(live lastLive, by string, v *View) {
	if live.At == 0 { // nothing moved
		live.At, live.Counts = l.LiveAt, l.Live
	}
	if !l.Moves.Known { // no frame came since
		l.Moves.Known, l.Moves.Now = true, live.Counts
	}
	l.Open = &loss{At: live.At, By: by, Was: live.Counts, Flags: l.Flags, Up: max(0, live.At-l.Since)}
	if l.Step != "" {
		l.Open.Drill = v.Drill
	}
}

// goesOn takes a frame of a loss.
func (l *Loss) goesOn(o *fact.Observation, v *View, emit fact.Emit) {
	x := l.Open
	if x.On == 0 {
		x.Flags.join(&l.Flags)
	}
	if x.Stop == 0 {
		last := x.At
		if n := len(l.Moves.List); n > 0 {
			last = max(last, l.Moves.List[n-1].To)
		}
		x.settle(o.Wire, last, v)
	}
	if back := l.back(); back >= 0 {
		l.end(back, v, emit)
		l.Over = l.Step != ""
	}
}

// settle decides whether enough was seen of what the receiver does. A flag that the
// sheet speaks of is waited for a while longer.
func (x *loss) settle(now, last fact.Time, v *View) {
	due := x.At + within(v)
	f := v.Sheet.Failsafe
	told := x.Flags.Failsafe != 0 || x.Silent != 0 || f != nil && f.Flag == "absent"
	x.Settled = x.Settled || told && now >= due+lossStands && now-last >= lossStands || now >= due+lossMost
}

func (x *loss) flagged() bool { return x.Flags.Failsafe != 0 || x.Flags.Lost != 0 }

// stop ends what is watched of it: from here on the builder acts.
func (l *Loss) stop() {
	x := l.Open
	x.Stop, x.Seen = l.Heard, l.Moves
	x.Seen.List = slices.Clone(l.Moves.List)
}

// back is the wire time of the first frame known live again, -1: not yet. Within
// the drill nothing counts before the builder was asked to switch on.
func (l *Loss) back() fact.Time {
	x := l.Open
	switch {
	case x.Drill != "" && x.Stop == 0:
	case x.flagged() || x.Silent != 0:
		if l.Plain >= twice && l.Plains > x.At && l.Heard > x.Stop {
			return max(l.Plains, x.Stop)
		}
	default:
		if first := l.Moves.firstAfter(x.Stop); first != 0 {
			return first
		}
	}
	return -1
}

// beat looks for a bus that has fallen silent.
func (l *Loss) beat(o *fact.Observation, v *View) {
	if v.Taps[l.Tap].Locked || l.Heard == 0 {
		return
	}
	if l.Open == nil && l.Linked && l.Step == fact.PromptOff {
		l.found(v)
	}
	l.Linked, l.Plain = false, 0
	x := l.Open
	if x == nil || x.Stop != 0 {
		return
	}
	if x.Silent == 0 {
		x.Silent = l.Heard
	}
	x.settle(o.At, x.Silent, v)
}

// Due implements Watcher.
func (l *Loss) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (l *Loss) Expire(fact.Time, *View, fact.Emit) {}

// heartbeat is the channel of the heartbeat as a bit, 0 where there is none.
func heartbeat(v *View) uint16 {
	if h := v.Sheet.Heartbeat; h != nil {
		return 1 << (h.Channel - 1)
	}
	return 0
}

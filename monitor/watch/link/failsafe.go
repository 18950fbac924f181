package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Failsafe dates what the failsafe flag says, four frames in a row. Switching off is
// not on the wire, so times count from the last frame known live, and that is known
// only where frames flagged as lost came before the flag. A flag that comes again
// with no live frame between is the same failsafe.
//
//	flags     . . . L L L L F F F F F . . . .
//	              ^         ^       ^ ^ left, reported at the fourth
//	      last live     onset  entered
type Failsafe struct {
	Tap     uint8
	State   linkState
	Entered bool
	Run     int       // frames in a row that contradict Entered,
	From    unit.Time // wire time of the first of them,
	Live    bool      // which carried the transmitter's values
	Since   unit.Time // the flag stands since then,
	Before  bool      // and no live frame came before it,
	Silent  bool      // or the line was silent between,
	Again   bool      // or it stood before in the same loss
}

// See implements Watcher.
func (f *Failsafe) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, f.Tap) {
		f.Run, f.State = 0, linkState{}
		return
	}
	if base.ReadLate(o, f.Tap) {
		f.State.unheard()
	}
	if !base.Judgeable(o, f.Tap) {
		return
	}
	f.State.see(o.Frame.Flags, o.Wire)
	f.Again = f.Again && !f.State.Up
	if o.Frame.Failsafe() == f.Entered {
		f.Run = 0
	} else {
		f.contradict(o, &v.Taps[f.Tap], emit)
	}
	v.Taps[f.Tap].Failsafe = f.Entered
}

func (f *Failsafe) contradict(o *event.Observation, t *base.Tap, emit event.Emit) {
	if f.Run == 0 {
		f.From, f.Live = o.Wire, base.SignalOf(o.Frame) == event.SignalLive
	}
	if f.Run++; f.Run < base.MinFrames {
		return
	}
	f.Run = 0
	s := &f.State
	if f.Entered {
		f.Entered = false
		d := event.FailsafeData{LiveNS: -1, AfterNS: f.From.Sub(f.Since), BeforeLink: f.Before, AfterSilence: f.Silent}
		if f.Live {
			d.LiveNS = f.From
		}
		emit(event.FailsafeLeft, f.From, t.About(), d)
		return
	}
	d := event.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: s.LiveAt == 0, AfterSilence: s.Silent, Again: f.Again}
	if s.LiveAt != 0 && s.Flags.dates() {
		d.LiveNS, d.AfterNS = s.LiveAt, f.From.Sub(s.LiveAt)
	}
	f.Entered, f.Since, f.Before, f.Silent, f.Again = true, f.From, d.BeforeLink, d.AfterSilence, true
	emit(event.FailsafeEntered, f.From, t.About(), d)
}

// Rests implements base.Sleeper: live frames only go on counting.
func (f *Failsafe) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if f.Entered || f.Again || f.Run > 0 || !f.State.rests() {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (f *Failsafe) Pass(n int, c base.Calm, _ *base.View) { f.State.goOn(n, c.Wire(0)) }

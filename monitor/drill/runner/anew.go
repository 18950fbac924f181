package runner

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// lossUnheard is how long the bus says that the signal is gone, or that it is there again, and
// no loss is measured, until none will be: what dates one comes within a second.
const lossUnheard = 3 * unit.Second

// What is said where a loss of the signal can't be measured.
const (
	roundAnew = "The signal is gone, but the moment in which it went was not heard: this computer read late, or the signal " +
		"was gone before. So the round begins anew: put all sticks and switches home, throttle at idle, switch the " +
		"transmitter on and press Enter"
	roundEmpty = "The signal is there, but no loss of it was measured in this round, so that control is back answers nothing: " +
		"press Enter to go on"
)

// losesUnheard looks after prompts that wait for a loss which will never be measured: the
// signal went in a stretch that this computer did not hear, and what flags show behind that
// dates nothing. The round begins anew, by way of the transmitter that is switched on again;
// it reports that another prompt stands.
//
//	away  off               on        back    away  off
//	      ....[unheard]FFFFF|FFFFFFFFF|FFFF...|
//	                   ^ 3 s ^         Enter   ^ live
func (r *Runner) losesUnheard(at unit.Time, h *BusState, emit event.Emit) bool {
	switch {
	case r.Anew && h.Signal == event.SignalLive:
		r.goesTo(drill.ActAway, at, emit)
		return true
	case r.Anew || !r.lacksLoss(h):
		r.Lacking = 0
		return false
	case r.Lacking == 0:
		r.Lacking = at
	}
	if at.Sub(r.Lacking) < lossUnheard {
		return false
	}
	if r.plan().Prompts[r.At].Until.Loss == event.PhaseBack {
		if !r.Lacked {
			r.Lacked = true
			r.hint(roundEmpty, at, emit)
		}
		return false
	}
	r.goesTo(drill.ActOn, at, emit)
	r.Anew = true
	r.hint(roundAnew, at, emit)
	return true
}

// lacksLoss reports that the bus says what the prompt waits for, and that nothing of it is measured.
func (r *Runner) lacksLoss(h *BusState) bool {
	switch r.plan().Prompts[r.At].Until.Loss {
	case "":
		return false
	case event.PhaseBack:
		return h.Loss == "" && h.Signal == event.SignalLive
	}
	gone := h.Signal == event.SignalFailsafe || h.Signal == event.SignalLost || h.Signal == event.SignalMissed
	return h.Loss == "" && gone
}

// goesTo goes to the prompt of the round that asks for an act, and what stands is not answered.
func (r *Runner) goesTo(act drill.Act, at unit.Time, emit event.Emit) {
	step := 1
	if act == drill.ActAway {
		step = -1
	}
	for r.plan().Prompts[r.At].Asks.Act != act {
		r.At += step
	}
	r.prompt(at, emit)
	r.Itself = true
}

// startsAnew reports that a prompt is one of those on the way to a round that begins anew.
func startsAnew(act drill.Act) bool { return act == drill.ActOn || act == drill.ActBack }

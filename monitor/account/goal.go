package account

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/reliability"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Goal is what was declared before the run: so long without an outage, of the first bus,
// in time of a live link. An outage that is over ends a stretch, and a new one begins with the signal.
// Once it is reached, the goal says all it can.
type Goal struct {
	Bus     uint8
	Quiet   unit.Duration // 0: there is none
	From    unit.Duration // live time when the stretch under way began
	Failed  int64         // stretches before it
	Reached unit.Time     // 0: not yet
}

// soFar is how long the stretch under way is.
func (a *Account) soFar() unit.Duration { return a.Taps[a.Goal.Bus].Times[live] - a.Goal.From }

// reach looks whether the goal is reached.
func (a *Account) reach(at unit.Time, v *base.View, emit event.Emit) {
	g := &a.Goal
	if g.Quiet == 0 || g.Reached != 0 || a.soFar() < g.Quiet {
		return
	}
	g.Reached = at
	hours := reliability.QuietGoalHours(g.Quiet, g.Failed)
	emit(event.GoalReached, at, v.Taps[g.Bus].About(), event.GoalData{
		Tap: v.Taps[g.Bus].Name, QuietNS: g.Quiet, AfterNS: a.soFar(), Failed: g.Failed, OneInNS: unit.Duration(hours) * hour,
	})
}

// fail ends a stretch.
func (a *Account) fail(tap uint8, v *base.View, emit event.Emit) {
	g := &a.Goal
	if g.Quiet == 0 || g.Reached != 0 || tap != g.Bus {
		return
	}
	after := a.soFar()
	g.Failed++
	g.From = a.Taps[tap].Times[live]
	emit(event.GoalMissed, a.Taps[tap].Ended, v.Taps[tap].About(), event.GoalData{
		Tap: v.Taps[tap].Name, QuietNS: g.Quiet, AfterNS: after, Failed: g.Failed,
	})
}

package account

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/drift"
	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/reliability"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Show is the account as of the latest beat, for those who look from outside. It is made
// once for each beat and must not be changed.
func (a *Account) Show(v *base.View) *state.Account {
	if a.shown != nil {
		return a.shown
	}
	s := &state.Account{
		SinceNS: a.Since, UntilNS: a.Until, StoppedNS: a.Stopped, StalledNS: a.Stalled, UnrecordedNS: a.Unrecorded,
		Breaks: append([]state.SoakBreak{}, a.Breaks...), ClockSteps: a.ClockSteps, Clock: append([]state.ClockStep{}, a.Clock...),
		Conditions: ConditionsOf(a.sheet), Taps: []state.TapAccount{}, Rests: []state.Rest{}, Dips: a.Dips.Count,
	}
	for i := 1; i < len(a.Taps); i++ {
		if a.Taps[i].Bus || a.alone() {
			s.Taps = append(s.Taps, a.showTap(&a.Taps[i]))
		}
	}
	for i := range a.Rests {
		s.Rests = append(s.Rests, a.Rests[i].show(a.Slot.Width))
	}
	if g := &a.Goal; g.Quiet > 0 && g.Bus != event.BenchTap && len(a.Taps) > int(g.Bus) {
		s.Goal = a.showGoal()
	}
	s.Proven, s.NotProven = a.proven(s), a.notProven(s, v)
	a.shown = s
	return s
}

func (a *Account) showGoal() *state.SoakGoal {
	g := &a.Goal
	s := &state.SoakGoal{QuietNS: g.Quiet, SoFarNS: a.soFar(), Failed: g.Failed, ReachedNS: -1}
	if g.Reached != 0 {
		s.SoFarNS, s.ReachedNS, s.Hours = g.Quiet, g.Reached, reliability.QuietGoalHours(g.Quiet, g.Failed)
	}
	return s
}

func (a *Account) showTap(t *Tap) state.TapAccount {
	m := &t.Missed
	s := state.TapAccount{
		Name: t.Name, LiveNS: t.Times[live], OutageNS: t.Times[outage], WaitingNS: t.Times[waiting],
		UnpluggedNS: t.Times[unplugged], PhoneNS: t.Times[phone], DrillNS: t.Times[drilling], DoubtedNS: t.Times[doubted],
		Frames: m.Frames, Missed: m.Missed, MissedRuns: m.Runs, RunLengths: m.Lengths, LongestRun: m.Longest,
		GapFrames: m.GapFrames, DamageRuns: m.DamageRuns, Spikes: t.Spikes, Silences: t.Silences, Late: t.Late, Unplugs: t.Unplugs,
		Away:      append([]state.PortAway{}, t.Away...),
		Failsafes: t.Failsafes, Restarts: t.Causes[restart], Outages: t.Over.N, Causes: t.Causes, Occasions: t.Over.Occasions, LongestNS: t.Most,
		Latest: append([]state.SoakOutage{}, t.Latest...), GoneSinceNS: -1, Heartbeat: a.sheet.Heartbeat != nil,
		StripNS: t.Strip.Width, Strip: append([]state.SoakHour{}, t.Strip.Hours...), Worst: t.Strip.worst(),
		WorstHour: t.Strip.worstHour(a.Since),
	}
	if t.Gone.Open && !t.Gone.Aside {
		s.GoneSinceNS = t.Gone.From
	}
	if !t.Bus {
		s.Leads = &state.LeadsFigures{Outputs: append([]int{}, t.Outputs.Heard...), Leaps: t.Outputs.Leaps, Silent: slices.Clone(t.Outputs.Silent)}
	}
	if i, ok := share.Of(m.Slots, m.Runs); ok {
		s.Share = &state.MissedShare{PPM: i.PPM, Low: i.Low, High: i.High}
	}
	over := t.withLast(a.Until)
	s.OneInHours = over.HoursPerOccasion(s.LiveNS)
	s.Ahead = []state.SoakClaim{}
	for _, hours := range a.ahead(s.OneInHours) {
		s.Ahead = append(s.Ahead, state.SoakClaim{Hours: hours, RemainingNS: over.StillToRun(s.LiveNS, hours)})
	}
	if len(s.Ahead) > 0 {
		s.NextHours, s.NextNS = s.Ahead[0].Hours, s.Ahead[0].RemainingNS
	}
	return s
}

// worthwhile are claims that somebody waits for, hours to an occasion.
var worthwhile = []int64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

// ahead are the claims that are worth waiting for where one in so many hours is borne out: the sheet's limit
// first, where that is not reached, then those above.
func (a *Account) ahead(have int64) (list []int64) {
	if a.sheet.Soak != nil {
		if want := int64((a.sheet.Soak.OneIn + hour - 1) / hour); have < want {
			list, have = append(list, want), want
		}
	}
	for _, h := range worthwhile {
		if h > have {
			list = append(list, h)
		}
	}
	return list
}

func (r *Rest) show(slot unit.Duration) state.Rest {
	s := state.Rest{Of: "channel", Number: r.Number, Name: r.Name, RestedNS: r.Rested, MovedNS: r.Moved}
	if r.Output {
		s.Of = "output"
	}
	means := slices.DeleteFunc(slices.Clone(r.Means), func(m unit.Width) bool { return m == nothing })
	if len(means) == 0 {
		s.Why = r.neverRested()
		return s
	}
	var sum unit.Width
	for _, m := range means {
		sum += m
	}
	s.MeanNS = r.Reference + sum/unit.Width(len(means))
	s.LeastNS, s.MostNS, s.JitterNS = r.Reference+slices.Min(means), r.Reference+slices.Max(means), r.jitter()
	d, refused := drift.Fit(r.means(), slot, tick, r.jitter())
	if s.Why = refused.String(); s.Why != "" {
		return s
	}
	s.Drift = &state.Drift{PerHourNS: d.PerHour, WithinNS: d.Within}
	return s
}

// neverRested says why nothing is known of a width at rest.
func (r *Rest) neverRested() string {
	switch {
	case r.Moved > 0:
		return "it stood still for no whole minute of those that were watched"
	case r.Reference != 0:
		return "no whole minute of it was watched"
	case r.Output:
		return "no pulse came on its lead"
	}
	return "nothing was heard of it"
}

// tick is the resolution of what is measured that the fit is told, ns: a count of the servo
// bus, and about what capture boards have.
const tick = 625

// jitter is the standard deviation of single widths, from how far each strayed from the one
// before: 0.886 of that, for errors that are independent and normal.
func (r *Rest) jitter() unit.Width {
	if r.From == 0 {
		return 0
	}
	return unit.Width(r.Jitter * 886 / 1000 / r.From)
}

package account

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// What the builder reads of what a long run proves, and of what it doesn't.
const (
	missedBetween = "%s of the frames of a live link were missed on the air; the share on this bench lies between %s and %s, 95 %% sure"
	missedNoShare = "what share of the frames is missed on the air: %s; to tell a share takes 20 runs and %s of a live link"
	missedRarely  = "in %d of %d minutes a frame was missed on the air: in runs too few for a share; even if all of such a minute's were, at most %s of the " +
		"frames are missed on average (95 %% sure)"
	goalReached = "The goal that was declared before the run, %s, was reached%s. "
	goalProves  = "That proves: occasions of outages come no more often than once in %d h on average, 95 %% sure, since it was declared before " +
		"(other figures hold whenever somebody looks, and so are lower)"
	goalTooShort = "It is too short to prove how rare outages are"
	driftedBy    = "%s drifted by %s an hour, give or take %s (95 %% sure), while it rested"
	noneSeen     = "at rest no drift was seen (an hour, 95 % sure): "
	noneOf       = "%s %s, give or take %s"
	noDrift      = "the drift of %s: %s"

	holdUnseen = "that the receiver never held its last values without a flag: the sheet has no heartbeat (a spare channel that always moves), " +
		"so that could not have been seen"
	lastLoss = "what ended the signal: it has not come back, so that was the transmitter or the receiver, can't be told. What is proven allows for " +
		"an outage of the receiver"
	notWatched   = "anything in %s in which nobody listened: %s"
	portShut     = "anything in %s in which the port of %s was not open"
	phoneThere   = "anything in %s in which a phone was at the model"
	noLinkThen   = "anything in %s in which %s sent no frames that may be believed, or before its first link"
	runAverage   = "that it stays so: what is proven is an average over this run"
	leaptThen    = "anything in %s in which all that %s sent may have been the receiver's presets: many channels had leapt at once, and nothing since showed a "
	noBeat       = leaptThen + "hand; a heartbeat, which the sheet does not have, would have shown the transmitter; move one stick after such a leap"
	noBeatSeen   = leaptThen + "hand, or a heartbeat that beats for 5 s"
	otherPlaces  = "how it is elsewhere, at other distances and in flight (it is no clearance to fly), and what only a drill shows"
	restartMaybe = "whether the receiver began anew in a silence behind which frames went on at once: adapter, wire or supply can't be told apart"
)

// leastMinutes is how many say anything that is worth saying: that one frame in 20 is missed at most.
const leastMinutes = 59

// Cautions are for a run that nobody watches; they stand in every account of one.
var Cautions = []string{
	"Stay near as far as you can. Propeller off and the drive unable to run: motor leads off, or the receiver on its own supply with the " +
		"speed controller's whole plug out; a piston engine stopped, ignition off.",
	"No lithium pack that nobody watches: a current-limited supply, on a surface that can't burn.",
	"Servos not against their stops: one that is grows hot. Hands clear of surfaces that can move by themselves.",
	"A pack that runs low ends the run: the transmitter's too.",
	"This is evidence about the set-up on a bench, no clearance to fly.",
}

// ConditionsOf is what the sheet declares of a long run, and what it does not.
func ConditionsOf(s *sheet.Sheet) []state.SoakCondition {
	k := s.Soak
	if k == nil {
		k = &sheet.Soak{}
	}
	return []state.SoakCondition{
		{What: "distance", Is: k.Distance}, {What: "mode", Is: k.Mode}, {What: "outputs", Is: k.Outputs},
		{What: "receiver's supply", Is: k.ReceiverSupply}, {What: "transmitter's supply", Is: k.TransmitterSupply},
		{What: "transmitter's idle alarm or switch-off", Is: k.TransmitterIdle},
	}
}

// proven are the sentences that the run bears out.
func (a *Account) proven(s *state.Account) []string {
	list := []string{}
	n := 0
	for i := range a.Taps {
		if !a.Taps[i].Bus && (i == 0 || !a.alone()) {
			continue
		}
		tap := &s.Taps[n]
		n++
		if tap.LiveNS == 0 {
			continue
		}
		over := a.Taps[i].withLast(a.Until)
		if tap.Leads != nil {
			list = append(list, fmt.Sprintf("%s, %s: %s", tap.Name, ofOutputs(tap.Leads.Outputs), over.SentenceOf(aSilence, tap.LiveNS)))
			continue
		}
		list = append(list, tap.Name+": "+over.Sentence(tap.LiveNS))
		if m := tap.Share; m != nil {
			list = append(list, tap.Name+": "+fmt.Sprintf(missedBetween, Percent(m.PPM), Percent(m.Low), Percent(m.High)))
		} else if m := &a.Taps[i].Missed; m.Minutes >= leastMinutes {
			most := Percent(share.AtMost(m.Minutes, m.Hit))
			list = append(list, tap.Name+": "+fmt.Sprintf(missedRarely, m.Hit, m.Minutes, most))
		}
	}
	if g := s.Goal; g != nil && g.ReachedNS >= 0 {
		list = append(list, reached(g))
	}
	return append(list, drifts(s)...)
}

// drifts says how far resting values went, those in which no drift was seen together.
func drifts(s *state.Account) (list []string) {
	none := []string{}
	for i := range s.Rests {
		r := &s.Rests[i]
		if r.Drift == nil {
			continue
		}
		hourly, within := unit.FormatWidth(r.Drift.PerHourNS), unit.FormatWidth(tenths(r.Drift.WithinNS))
		if unit.Abs(r.Drift.PerHourNS) <= r.Drift.WithinNS {
			none = append(none, fmt.Sprintf(noneOf, restName(r), hourly, within))
		} else {
			list = append(list, fmt.Sprintf(driftedBy, restName(r), hourly, within))
		}
	}
	if len(none) > 0 {
		list = append(list, noneSeen+strings.Join(none, "; "))
	}
	return list
}

// reached says what a goal shows that is reached.
func reached(g *state.SoakGoal) string {
	after := ""
	if g.Failed > 0 {
		after = fmt.Sprintf(", after outages had ended it %s", text.Times(g.Failed))
	}
	s := fmt.Sprintf(goalReached, unit.FormatSpan(g.QuietNS)+" without an outage", after)
	if g.Hours == 0 {
		return s + goalTooShort
	}
	return s + fmt.Sprintf(goalProves, g.Hours)
}

// notProven is what the run says nothing of.
func (a *Account) notProven(s *state.Account, v *base.View) []string {
	list := []string{}
	for i := range s.Taps {
		list = append(list, a.notProvenOf(&s.Taps[i])...)
	}
	if not := NotWatched(s); not > 0 {
		list = append(list, fmt.Sprintf(notWatched, unit.FormatSpan(not), whyNot(s)))
	}
	if v.Sheet.Heartbeat == nil && !a.alone() {
		list = append(list, holdUnseen)
	}
	list = append(list, withoutDrift(s.Rests)...)
	return append(list, runAverage, otherPlaces)
}

// whyNot says why nobody listened.
func whyNot(s *state.Account) string {
	parts := []string{}
	for _, x := range []struct {
		d   unit.Duration
		why string
	}{{s.StoppedNS, "the program was stopped for"}, {s.StalledNS, "the computer stood still for"}, {s.UnrecordedNS, "it was not recorded for"}} {
		if x.d > 0 {
			parts = append(parts, x.why+" "+unit.FormatSpan(x.d))
		}
	}
	return text.And(parts)
}

// withoutDrift says of which widths no drift is known, and why: those with one reason
// together.
func withoutDrift(rests []state.Rest) (list []string) {
	names, reasons := map[string][]string{}, []string{}
	for i := range rests {
		r := &rests[i]
		if r.Drift != nil {
			continue
		}
		if names[r.Why] == nil {
			reasons = append(reasons, r.Why)
		}
		names[r.Why] = append(names[r.Why], restName(r))
	}
	for _, why := range reasons {
		list = append(list, fmt.Sprintf(noDrift, strings.Join(names[why], ", "), why))
	}
	return list
}

func (a *Account) notProvenOf(t *state.TapAccount) (list []string) {
	if t.Leads != nil {
		return a.notProvenOfLeads(t)
	}
	if t.GoneSinceNS >= 0 {
		list = append(list, t.Name+": "+lastLoss)
	}
	if t.Share == nil && t.Frames > 0 {
		were := "none of " + text.Count(t.Frames) + " was"
		if t.Missed > 0 {
			were = fmt.Sprintf("%s of %s, in %s", text.Count(t.Missed), text.Count(t.Frames), runsOf(t.MissedRuns))
		}
		list = append(list, t.Name+": "+fmt.Sprintf(missedNoShare, were, unit.FormatSpan(12*unit.Minute)))
	}
	if t.Silences > t.Causes[silent]+t.Causes[restart] {
		list = append(list, t.Name+": "+restartMaybe)
	}
	return append(list, a.timesNotProven(t)...)
}

// timesNotProven are times that say nothing, but those in which nobody listened.
func (a *Account) timesNotProven(t *state.TapAccount) (list []string) {
	waited := noLinkThen
	if t.Leads != nil {
		waited = noPulses
	}
	for _, x := range []struct {
		format string
		span   unit.Duration
		words  []any
	}{
		{portShut, t.UnpluggedNS, []any{t.Name}}, {phoneThere, t.PhoneNS, nil}, {waited, t.WaitingNS, []any{t.Name}},
		{a.leaptThen(), t.DoubtedNS, []any{t.Name}},
	} {
		if x.span >= unit.Minute {
			list = append(list, fmt.Sprintf(x.format, append([]any{unit.FormatSpan(x.span)}, x.words...)...))
		}
	}
	return list
}

// leaptThen says what a suspicion left open, and what would have ended it.
func (a *Account) leaptThen() string {
	if a.sheet.Heartbeat == nil {
		return noBeat
	}
	return noBeatSeen
}

func restName(r *state.Rest) string {
	s := fmt.Sprintf("%s %d", r.Of, r.Number)
	if r.Name != "" {
		s += " (" + r.Name + ")"
	}
	return s
}

func runsOf(n int64) string {
	if n == 1 {
		return "1 run"
	}
	return text.Count(n) + " runs"
}

// tenths is a doubt in whole tenths of a microsecond, rounded up.
func tenths(w unit.Width) unit.Width { return (w + 99) / 100 * 100 }

// Percent is parts per million as a percentage.
func Percent(ppm int64) string { return fmt.Sprintf("%g %%", float64(ppm)/10_000) }

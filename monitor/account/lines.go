package account

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// causeWords say what showed an outage.
var causeWords = map[string]string{
	"flagged": "flagged by the receiver", "unflagged": "without a flag, seen in the values", "silent": "silent: receiver, supply or wire, can't be told",
	"restart": "silent, and the receiver began anew, it seems",
}

// Declared says under what a run was done, a line for each condition.
func Declared(a *state.Account) (lines []string) {
	for _, c := range a.Conditions {
		is := c.Is
		if is == "" {
			is = "not declared"
		}
		lines = append(lines, c.What+": "+is)
	}
	return lines
}

// Watched says for how long a run was watched, and for how long and when it was not; date writes an instant.
func Watched(a *state.Account, date func(unit.Time) string) (lines []string) {
	for i := range a.Taps {
		lines = append(lines, watched(&a.Taps[i]))
	}
	if not := NotWatched(a); not > 0 {
		lines = append(lines, "not watched for "+unit.FormatSpan(not)+breaks(a, date))
	}
	return lines
}

// NotWatched is for how long nobody listened.
func NotWatched(a *state.Account) unit.Duration { return a.StoppedNS + a.StalledNS + a.UnrecordedNS }

func watched(t *state.TapAccount) string {
	parts := []string{}
	in, without := "in outages", "without a link"
	if t.Leads != nil {
		in, without = "in silences of outputs", "without a line of the board or a pulse"
	}
	for _, x := range []struct {
		d    unit.Duration
		what string
	}{
		{t.OutageNS, in}, {t.WaitingNS, without}, {t.UnpluggedNS, "with the port shut"},
		{t.PhoneNS, "with a phone at the model"}, {t.DrillNS, "in drills"},
		{t.DoubtedNS, "behind a leap of many channels"},
	} {
		if x.d >= unit.Second {
			parts = append(parts, unit.FormatSpan(x.d)+" "+x.what)
		}
	}
	s := fmt.Sprintf("%s: %s of a live link, which counts", t.Name, unit.FormatSpan(t.LiveNS))
	if t.Leads != nil {
		s = fmt.Sprintf("%s: %s of pulses on all outputs that had been heard, which counts", t.Name, unit.FormatSpan(t.LiveNS))
	}
	if len(parts) > 0 {
		s += "; beside that " + strings.Join(parts, ", ")
	}
	return s
}

// Happened says what happened in a run; date writes an instant.
func Happened(a *state.Account, date func(unit.Time) string) (lines []string) {
	for i := range a.Taps {
		t := &a.Taps[i]
		lines = append(lines, outages(t))
		lines = append(lines, counts(t)...)
		for _, one := range Latest(t, date) {
			lines = append(lines, t.Name+": "+one)
		}
		if t.GoneSinceNS >= 0 {
			lines = append(lines, fmt.Sprintf("%s: %s: %s went and did not come back", t.Name, date(t.GoneSinceNS), whatGoes(t)))
		}
		if worst := WorstHour(t, date); worst != "" {
			lines = append(lines, worst)
		}
	}
	lines = append(lines, RestsOfLeads(a)...)
	if a.Dips > 0 {
		lines = append(lines, fmt.Sprintf("bus and leads fell silent in step %s: look at the supply", text.Times(a.Dips)))
	}
	return append(lines, Interruptions(a, date)...)
}

// whatGoes is what an outage takes away.
func whatGoes(t *state.TapAccount) string {
	switch {
	case t.Leads == nil:
		return "the signal"
	case len(t.Leads.Silent) == 0: // nobody listens
		return "an output"
	}
	return ofOutputs(t.Leads.Silent)
}

func outages(t *state.TapAccount) string {
	if t.Leads != nil {
		return silences(t)
	}
	if t.Outages == 0 {
		return t.Name + ": no outage" + thatIsOver(t)
	}
	by := []string{}
	for i, n := range t.Causes {
		if n > 0 {
			by = append(by, fmt.Sprintf("%s %s", text.Count(n), causeWords[state.OutageCauses[i]]))
		}
	}
	return fmt.Sprintf("%s: outages: %s, occasions of them: %s; what showed them: %s; the longest lasted %s", t.Name,
		text.Count(t.Outages), text.Count(t.Occasions), strings.Join(by, ", "), unit.FormatDuration(t.LongestNS))
}

// thatIsOver is what to say of none where one is not over, and so is not among them.
func thatIsOver(t *state.TapAccount) string {
	if t.GoneSinceNS >= 0 {
		return " that is over"
	}
	return ""
}

// Latest are the latest outages that are over, oldest first.
func Latest(t *state.TapAccount, date func(unit.Time) string) (lines []string) {
	for _, o := range t.Latest {
		seen := ""
		if o.Unseen {
			seen = " at least, its end was not watched"
		}
		what := "outage"
		if t.Leads != nil {
			what = strings.TrimSuffix(aSilence.One+" of "+ofOutputs(o.Outputs), " of ")
		}
		lines = append(lines, fmt.Sprintf("%s of %s, %s%s (%s)", what, date(o.FromNS), unit.FormatDuration(o.ToNS.Sub(o.FromNS)), seen, causeOf(t, o.Cause)))
	}
	return lines
}

func counts(t *state.TapAccount) []string {
	if t.Leads != nil {
		return countsOfLeads(t)
	}
	return []string{
		fmt.Sprintf("%s: frames: %s; of these missed on the air: %s%s; never sent: %s; damage: %s", t.Name, text.Count(t.Frames),
			text.Count(t.Missed), inRuns(t), text.Count(t.GapFrames), text.Times(t.DamageRuns)),
		fmt.Sprintf("%s: failsafes: %s; silences: %s; read late: %s; port unplugged: %s; spikes: %s", t.Name, text.Count(t.Failsafes),
			text.Count(t.Silences), text.Times(t.Late), text.Times(t.Unplugs), text.Count(t.Spikes)),
	}
}

// inRuns says how missed frames came.
func inRuns(t *state.TapAccount) string {
	if t.MissedRuns == 0 {
		return ""
	}
	return fmt.Sprintf(", in %s, the longest of %s", runsOf(t.MissedRuns), text.Count(t.LongestRun))
}

// WorstHour says what the worst hour was like, "" where nothing happened in any.
func WorstHour(t *state.TapAccount, date func(unit.Time) string) string {
	if t.WorstHour == nil {
		return ""
	}
	var h state.SoakHour
	for i := range t.WorstHour.Minutes {
		add(&h, &t.WorstHour.Minutes[i])
	}
	if t.Leads != nil {
		return fmt.Sprintf("%s: the worst hour began %s: silences that ended: %s; outputs fell silent: %s", t.Name, date(t.WorstHour.FromNS),
			text.Count(h.Outages), text.Times(h.Silences))
	}
	return fmt.Sprintf("%s: the worst hour began %s: outages: %s; silences: %s; missed on the air: %s of %s frames", t.Name, date(t.WorstHour.FromNS),
		text.Count(h.Outages), text.Count(h.Silences), text.Count(h.Missed), text.Count(h.Frames))
}

// ahead says what the next few claims behind the next take.
func ahead(t *state.TapAccount, few int) string {
	s := ""
	for i := 1; i <= few && i < len(t.Ahead); i++ {
		s += fmt.Sprintf("; %s more: once in %d h", unit.FormatSpan(t.Ahead[i].RemainingNS), t.Ahead[i].Hours)
	}
	return s
}

// More says for how long a run must go on to prove more, the next claim and so few behind it, and how
// its goal stands.
func More(a *state.Account, few int) (lines []string) {
	for i := range a.Taps {
		t := &a.Taps[i]
		switch {
		case t.GoneSinceNS >= 0:
			lines = append(lines, t.Name+": "+whatGoes(t)+" must come back first")
		case t.NextHours > 0 && t.Leads != nil:
			lines = append(lines, fmt.Sprintf("%s: %s more of pulses on all outputs without a silence would prove: occasions no more often than once in %d h", t.Name,
				unit.FormatSpan(t.NextNS), t.NextHours)+ahead(t, few))
		case t.NextHours > 0:
			lines = append(lines, fmt.Sprintf("%s: %s more of a live link without an outage would prove: occasions no more often than once in %d h", t.Name,
				unit.FormatSpan(t.NextNS), t.NextHours)+ahead(t, few))
		}
	}
	if g := a.Goal; g != nil && g.ReachedNS < 0 {
		s := fmt.Sprintf("the goal, %s without an outage, is not reached: it is at %s", unit.FormatSpan(g.QuietNS), unit.FormatSpan(g.SoFarNS))
		if g.Failed > 0 {
			s += fmt.Sprintf(", and began anew %s since an outage ended it", text.Times(g.Failed))
		}
		lines = append(lines, s)
	}
	return lines
}

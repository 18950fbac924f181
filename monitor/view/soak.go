package view

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Soak is the account of a long run as the builder reads it: under what it was done, how
// long it was watched, what happened, what that proves and what not, and what to mind in
// the next. wall is Unix ns at bench time 0. Lines are wrapped to the columns, 0: not at all.
func Soak(a *state.Account, model string, wall int64, columns int) string {
	var b strings.Builder
	title := func(s string) { fmt.Fprintf(&b, "\n%s\n", s) }
	line := func(format string, args ...any) {
		b.WriteString(Hang("  ", text.Printable(fmt.Sprintf(format, args...)), columns) + "\n")
	}
	fmt.Fprintf(&b, "%s, from %s, %s\n", text.Printable(model), dateOf(wall, a.SinceNS), account.Span(a.UntilNS.Sub(a.SinceNS)))
	title("Under what it was done")
	for _, c := range a.Conditions {
		is := c.Is
		if is == "" {
			is = "not declared"
		}
		line("%s: %s", c.What, is)
	}
	title("How long it was watched")
	for i := range a.Taps {
		watched(&a.Taps[i], line)
	}
	if not := a.StoppedNS + a.StalledNS + a.UnrecordedNS; not > 0 {
		line("not watched for %s", account.Span(not))
	}
	title("What happened")
	for i := range a.Taps {
		happened(&a.Taps[i], a.SinceNS, wall, line)
	}
	if a.Dips > 0 {
		line("bus and leads fell silent in step %s: look at the supply", text.Times(a.Dips))
	}
	section(title, line, "What is proven", a.Proven, "nothing yet")
	section(title, line, "What is not proven", a.NotProven, "")
	section(title, line, "For a run that nobody watches", account.Cautions, "")
	return b.String()
}

func section(title func(string), line func(string, ...any), name string, sentences []string, none string) {
	title(name)
	if len(sentences) == 0 {
		line("%s", none)
	}
	for _, s := range sentences {
		line("%s", s)
	}
}

func watched(t *state.TapAccount, line func(string, ...any)) {
	parts := []string{}
	for _, x := range []struct {
		d    unit.Duration
		what string
	}{
		{t.OutageNS, "in outages"}, {t.WaitingNS, "without a link"}, {t.UnpluggedNS, "with the port shut"},
		{t.PhoneNS, "with a phone at the model"}, {t.DrillNS, "in drills"},
	} {
		if x.d > 0 {
			parts = append(parts, account.Span(x.d)+" "+x.what)
		}
	}
	s := fmt.Sprintf("%s: %s of a live link, which is what counts", t.Name, account.Span(t.LiveNS))
	if len(parts) > 0 {
		s += "; beside that " + strings.Join(parts, ", ")
	}
	line("%s", s)
}

func happened(t *state.TapAccount, since unit.Time, wall int64, line func(string, ...any)) {
	if t.Outages == 0 {
		line("%s: no outage", t.Name)
	} else {
		by := []string{}
		for i, n := range t.Causes {
			if n > 0 {
				by = append(by, fmt.Sprintf("%d %s", n, causeWords[state.OutageCauses[i]]))
			}
		}
		line("%s: outages: %d, on occasions half an hour or more apart: %d; %s; the longest %s", t.Name, t.Outages, t.Occasions,
			strings.Join(by, ", "), unit.FormatDuration(t.LongestNS))
	}
	for _, o := range t.Latest {
		seen := ""
		if o.Unseen {
			seen = " at least, its end was not watched"
		}
		line("%s: %s, for %s%s", dateOf(wall, o.FromNS), causeWords[o.Cause], unit.FormatDuration(o.ToNS.Sub(o.FromNS)), seen)
	}
	if t.GoneSinceNS >= 0 {
		line("%s: %s: the signal went and is not back", t.Name, dateOf(wall, t.GoneSinceNS))
	}
	line("%s: frames: %d, missed on the air: %d, in runs: %d, the longest of %d; the bus left out: %d; runs of damage: %d", t.Name, t.Frames, t.Missed,
		t.MissedRuns, t.LongestRun, t.GapFrames, t.DamageRuns)
	line("%s: failsafes: %d, silences: %d, read late: %d, port gone: %d, spikes: %d", t.Name, t.Failsafes, t.Silences, t.Late, t.Unplugs, t.Spikes)
	if t.Worst >= 0 {
		h := t.Strip[t.Worst]
		line("%s: the worst %s began %s: outages %d, silences %d, missed %d of %d frames", t.Name, account.Span(t.StripNS),
			dateOf(wall, since.Add(unit.Duration(t.Worst)*t.StripNS)), h.Outages, h.Silences, h.Missed, h.Frames)
	}
}

// causeWords say what showed an outage.
var causeWords = map[string]string{
	"flagged": "flagged by the receiver", "unflagged": "without a flag, seen in the values", "silent": "silent: receiver, supply or wire, can't be told",
	"restart": "silent, and the receiver began anew, it seems",
}

// dateOf is bench time as a date, UTC.
func dateOf(wall int64, t unit.Time) string {
	return time.Unix(0, wall+int64(t)).UTC().Format("2006-01-02 15:04:05")
}

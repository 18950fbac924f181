package account

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"benchproof.example/monitor/reliability"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of servo leads alone.
const (
	linkUnseen = "anything about the link: no bus was listened to, and pulses have no flags. Through an outage many receivers go on with pulses, held or at " +
		"presets; an unflagged hold could not have been seen"
	silenceWhy = "what silenced outputs: receiver, supply, lead or a setting, can't be told"
	leapWhy    = "what had outputs leave where they rested at once: a hand, the stabiliser, or the presets of a failsafe, can't be told"
	otherLeads = "anything about outputs that no lead was on"
	notBackYet = "what silenced the output that is not back: receiver, supply or lead, can't be told. What is proven allows for a silence of the receiver's making"
	noPulses   = "anything in %s in which %s brought no line of the board, or no pulse of an output that was heard before"
	goalOfLink = "whether the goal is reached: it is one of the link, and no bus was listened to"

	fewSilent = "%s some outputs while others went on, or the only one"
	allSilent = "%s all outputs at once and back, as where the receiver began anew or its supply dipped"
)

// aSilence is what is counted on leads.
var aSilence = reliability.Noun{One: "silence", Many: "silences"}

// ofLeads are the causes of silences in words.
var ofLeads = map[string]string{
	"silent":  "some outputs while others went on, or the only one",
	"restart": "all outputs at once: receiver or supply, it seems",
}

// causeOf says what showed an outage of a bus, or a silence of outputs.
func causeOf(t *state.TapAccount, cause string) string {
	if t.Leads != nil {
		return ofLeads[cause]
	}
	return causeWords[cause]
}

// silences says how often outputs fell silent, and how.
func silences(t *state.TapAccount) string {
	if t.Outages == 0 {
		return t.Name + ": no silence of an output"
	}
	by := []string{}
	if n := t.Causes[silent]; n > 0 {
		by = append(by, fmt.Sprintf(fewSilent, text.Count(n)))
	}
	if n := t.Causes[restart]; n > 0 {
		by = append(by, fmt.Sprintf(allSilent, text.Count(n)))
	}
	return fmt.Sprintf("%s: silences of outputs: %s, occasions of them: %s; what fell silent: %s; the longest lasted %s", t.Name,
		text.Count(t.Outages), text.Count(t.Occasions), strings.Join(by, ", "), unit.FormatDuration(t.LongestNS))
}

// countsOfLeads says what else was counted on leads.
func countsOfLeads(t *state.TapAccount) []string {
	heard := []string{}
	for _, n := range t.Leads.Outputs {
		heard = append(heard, strconv.Itoa(n))
	}
	which := "none"
	if len(heard) > 0 {
		which = strings.Join(heard, ", ")
	}
	return []string{
		fmt.Sprintf("%s: outputs heard: %s; two or more left at once where they rested, or the only one: %s", t.Name, which, text.Times(t.Leads.Leaps)),
		fmt.Sprintf("%s: trouble between board and computer: %s; port unplugged: %s", t.Name, text.Times(t.Late), text.Times(t.Unplugs)),
	}
}

// restsOfLeads says how still each output stood; those that never rested are in withoutDrift.
func restsOfLeads(rests []state.Rest) (list []string) {
	for i := range rests {
		r := &rests[i]
		if r.RestedNS == 0 {
			continue
		}
		list = append(list, fmt.Sprintf("%s: rested in %s of whole minutes, moved in %s; on average %s, its means from %s to %s; jitter %s", restName(r),
			unit.FormatSpan(r.RestedNS), unit.FormatSpan(r.MovedNS), unit.FormatWidth(r.MeanNS), unit.FormatWidth(r.LeastNS),
			unit.FormatWidth(r.MostNS), unit.FormatWidth(tenths(r.JitterNS))))
	}
	return list
}

// notProvenOfLeads is what leads alone say nothing of.
func (a *Account) notProvenOfLeads(t *state.TapAccount) []string {
	list := []string{linkUnseen}
	if t.GoneSinceNS >= 0 {
		list = append(list, t.Name+": "+notBackYet)
	}
	if t.Outages > 0 {
		list = append(list, t.Name+": "+silenceWhy)
	}
	if t.Leads.Leaps > 0 {
		list = append(list, t.Name+": "+leapWhy)
	}
	if a.Goal.Quiet > 0 {
		list = append(list, goalOfLink)
	}
	return append(append(list, a.timesNotProven(t)...), otherLeads)
}

// wordsOfLeads explain an account of leads alone.
func wordsOfLeads(t *state.TapAccount) []Word {
	return []Word{
		{t.Name, "the capture board on the servo leads"},
		{"counts", "time in which the board spoke and pulses came on all outputs that had been heard"},
		{"silence", "no pulse of an output for five of its periods, 0.1 s at least, while the board went on"},
		{"occasion", "silences less than half an hour apart, since one cause often makes several"},
		{"once in 7 h on average, 95 % sure", "no promise of 7 h without one; of 20 such statements at least 19 are true"},
		{"jitter", "how far widths stray by themselves, as a standard deviation"},
	}
}

// ofLeadsAlone are the leads of an account of leads alone, nil of another.
func ofLeadsAlone(a *state.Account) *state.TapAccount {
	if i := slices.IndexFunc(a.Taps, func(t state.TapAccount) bool { return t.Leads != nil }); i >= 0 {
		return &a.Taps[i]
	}
	return nil
}

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
	silenceWhy = "which of receiver, supply, lead or a setting silenced outputs: that can't be told"
	leapWhy    = "what had outputs leave where they rested at once: a hand, the stabiliser, or the presets of a failsafe, can't be told"
	otherLeads = "anything about outputs that no lead was on"
	notBackYet = "what silenced the output that is not back: receiver, supply or lead, can't be told. What is proven allows for a silence of the receiver's making"
	noPulses   = "anything in %s in which %s brought no line of the board, or no pulse of an output that was heard before"
	goalOfLink = "whether the goal is reached: it is one of the link, and no bus was listened to"

	fewSilent = "some outputs while others went on: %s"
	oneSilent = "the only output: %s"
	allSilent = "all outputs at once and back, as where the receiver began anew or its supply dipped: %s"
	fewLeapt  = "two or more outputs left where they rested at the same moment: %s"
	oneLeapt  = "the output left where it rested: %s"
)

// aSilence is what is counted on leads.
var aSilence = reliability.Noun{One: "silence", Many: "silences"}

// ofLeads are the causes of silences in words.
var ofLeads = map[string]string{"silent": "while the board went on", "restart": "all at once: receiver or supply, it seems"}

// byOutputs is the wording for several outputs, or for a single one.
func byOutputs(t *state.TapAccount, several, one string) string {
	if len(t.Leads.Outputs) == 1 {
		return one
	}
	return several
}

// numbers are the numbers of outputs in words.
func numbers(outputs []int) string {
	list := []string{}
	for _, n := range outputs {
		list = append(list, strconv.Itoa(n))
	}
	return strings.Join(list, ", ")
}

// ofOutputs names outputs by their numbers, "" where there are none.
func ofOutputs(outputs []int) string {
	switch len(outputs) {
	case 0:
		return ""
	case 1:
		return "output " + numbers(outputs)
	}
	return "outputs " + numbers(outputs)
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
		return t.Name + ": no silence of an output" + thatIsOver(t)
	}
	by := []string{}
	if n := t.Causes[silent]; n > 0 {
		by = append(by, fmt.Sprintf(byOutputs(t, fewSilent, oneSilent), text.Times(n)))
	}
	if n := t.Causes[restart]; n > 0 {
		by = append(by, fmt.Sprintf(allSilent, text.Times(n)))
	}
	return fmt.Sprintf("%s: silences of outputs: %s, occasions of them: %s; %s; the longest lasted %s", t.Name,
		text.Count(t.Outages), text.Count(t.Occasions), strings.Join(by, "; "), unit.FormatDuration(t.LongestNS))
}

// countsOfLeads says what else was counted on leads.
func countsOfLeads(t *state.TapAccount) []string {
	which := "none"
	if len(t.Leads.Outputs) > 0 {
		which = numbers(t.Leads.Outputs)
	}
	return []string{
		fmt.Sprintf("%s: outputs heard: %s; "+byOutputs(t, fewLeapt, oneLeapt), t.Name, which, text.Times(t.Leads.Leaps)),
		fmt.Sprintf("%s: trouble between board and computer: %s; port unplugged: %s", t.Name, text.Times(t.Late), text.Times(t.Unplugs)),
	}
}

// RestsOfLeads says how still each output stood where servo leads alone were listened to; those
// that never rested are in withoutDrift.
func RestsOfLeads(a *state.Account) (list []string) {
	if ofLeadsAlone(a) == nil {
		return nil
	}
	for i := range a.Rests {
		r := &a.Rests[i]
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

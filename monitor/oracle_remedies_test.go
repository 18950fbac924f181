package monitor_test

import (
	"regexp"
	"slices"
)

// settings are what a builder can set, and the words in which a sentence sends him to
// it. What the table has not is not taken for a setting.
var settings = []struct {
	name  string
	words *regexp.Regexp
}{
	{"reverse", regexp.MustCompile(`reverse (the channel|channel \d+|the knob|its channel)`)},
	{"sources", regexp.MustCompile(`exchange the channels' sources|its channel order`)},
	{"mix", regexp.MustCompile(`switch the mix off|look for a mix in receiver or transmitter|the mix that takes it there`)},
	{"travel", regexp.MustCompile(`end of its travel|make (its|the) travel|end of the travel`)},
	{"rates", regexp.MustCompile(`check rates and limits`)},
	{"position", regexp.MustCompile(`set what it sends at|move that position|move them away from that edge`)},
	{"assignment", regexp.MustCompile(`its switch was not worked, or none is assigned`)},
	{"other control", regexp.MustCompile(`another control, one with more positions, or a mix drives`)},
	{"positions exchanged", regexp.MustCompile(`what its positions send is exchanged`)},
	{"order of switches", regexp.MustCompile(`change at the same moment`)},
	{"slow", regexp.MustCompile(`whatever slows or delays`)},
	{"failsafe", regexp.MustCompile(`[Ss]et the failsafe|set its failsafe`)},
	{"curve", regexp.MustCompile(`a (straight )?curve`)},
	{"knob's ends", regexp.MustCompile(`set its ends|between its ends|its ends are not the sheet's`)},
	{"knob's channel", regexp.MustCompile(`check that the knob drives`)},
	{"trim", regexp.MustCompile(`\btrim\b`)},
	{"offset", regexp.MustCompile(`its offset in the transmitter`)},
	{"cut", regexp.MustCompile(`set the throttle cut|the cut's value`)},
	{"limit", regexp.MustCompile(`raise the limit`)},
	{"memory", regexp.MustCompile(`model's memory`)},
	{"binding", regexp.MustCompile(`is bound to it`)},
	{"output's direction", regexp.MustCompile(`reverse that output`)},
	{"output's mix", regexp.MustCompile(`the mix and the travel of that output|` +
		`look for a mix in receiver or transmitter|look at the mix of that output|` +
		`exchange the two in the receiver|what it uses each output for`)},
	{"output's settings", regexp.MustCompile(`receiver's settings for it|supply and settings`)},
	{"lead", regexp.MustCompile(`its lead`)},
	{"limit learning", regexp.MustCompile(`teach the limits|limit learning`)},
	{"correction", regexp.MustCompile(`reverse the (roll|pitch|yaw) correction`)},
	{"correction at one output", regexp.MustCompile(`reverse (its|the \w+) (part|correction) (at|of) ` +
		`(that output|output)|correction of that output|output alone`)},
	{"stabiliser", regexp.MustCompile(`dead stabiliser|stabiliser is off|whether the stabiliser corrects`)},
	{"receiver's modes", regexp.MustCompile(`look at the receiver's modes`)},
	{"supply", regexp.MustCompile(`supply, regulator, switch, plugs|its source, regulator, switch`)},
	{"gain", regexp.MustCompile(`make the gain smaller|gain at zero`)},
}

// notKnown is how a sentence says that it does not know which setting it is.
var notKnown = regexp.MustCompile(`which(,| of)|don't know|doesn't know|does not know|can't be told|could not be told|or the sheet is wrong`)

// named are the settings that a sentence sends the builder to.
func settingsIn(sentence string) (names []string) {
	for _, s := range settings {
		if s.words.MatchString(sentence) {
			names = append(names, s.name)
		}
	}
	return names
}

// What a sentence about a fault sends the builder to.
const (
	remedyRight   = "names what is wrong"
	remedyUnsure  = "says that it does not know which"
	remedyWrong   = "names another setting"
	remedyNothing = "names no setting"
)

// remedies judges a sentence by the settings that cure what the script broke.
func remedies(sentence string, cures []string) string {
	names := settingsIn(sentence)
	cured := slices.ContainsFunc(names, func(n string) bool { return slices.Contains(cures, n) })
	others := slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(cures, n) })
	switch {
	case len(names) == 0 && !notKnown.MatchString(sentence):
		return remedyNothing
	case cured && !others:
		return remedyRight
	case cured || notKnown.MatchString(sentence):
		return remedyUnsure
	}
	return remedyWrong
}

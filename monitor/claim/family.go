package claim

import (
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
)

// Family is what all claims that say the same, each of another control, share: the first
// part of their IDs. All of them stand in list.go.
type Family string

// Heading is what a report puts claims under.
type Heading string

// The headings.
const (
	HeadingSwitches Heading = "Switches and fixed values"
	HeadingSticks   Heading = "Sticks and throttle"
	HeadingGain     Heading = "Gain"
	HeadingModes    Heading = "Modes"
	HeadingGestures Heading = "Gestures"
	HeadingOutputs  Heading = "Servo outputs"
	HeadingFailsafe Heading = "Failsafe" // a section of its own
	HeadingLink     Heading = "Link"
	HeadingRest     Heading = "The rest"
)

// traits are what a family says of its claims.
type traits struct {
	heading  Heading
	quiet    bool // that one is seen right is left to the list of claims at the end
	shown    shown
	stated   stated
	measures []Measure
}

// shown says which channels show what became of a claim.
type shown int

const (
	byItsChannel shown = iota // the one that it judges; none where it judges none, as of a whole sitting
	byModeSwitch              // those that choose the mode
	byThrottle                // the one that it judges, else the throttles
)

// What becomes of a claim that is seen right.
const quiet, onScreen = true, false

// Families are all families, in the order of their names.
func Families() []Family { return slices.Sorted(maps.Keys(families)) }

// Quiet reports that a claim which was seen right is worth no line while a person looks on.
func (f Family) Quiet() bool { return families[f].quiet }

// Heading is what a report puts the family under, HeadingRest where the table has no such
// family.
func (f Family) Heading() Heading {
	if t, ok := families[f]; ok {
		return t.heading
	}
	return HeadingRest
}

// ID is that of the claim of the family which the parts tell apart. Nothing else makes IDs,
// and nothing takes them apart.
func (f Family) ID(parts ...string) string { return string(f) + "/" + strings.Join(parts, "/") }

// key names one claim: its family, what tells it apart, and what it judges.
type key struct {
	family  Family
	parts   []string
	channel int // that it judges, 0 for none or more than one
	output  int // likewise
}

func (k key) id() string { return k.family.ID(k.parts...) }

// of names a claim that judges no channel and no output by itself.
func (f Family) of(parts ...string) key { return key{family: f, parts: parts} }

// ofChannel names the claim on a channel, or on the part of it that is named.
func (f Family) ofChannel(c *sheet.Channel, parts ...string) key {
	return key{family: f, parts: append([]string{c.Name}, parts...), channel: c.Number}
}

// ofOutput names the claim on an output.
func (f Family) ofOutput(o *sheet.Output) key {
	return key{family: f, parts: []string{about(o)}, output: o.Number}
}

// channels are those that show what became of a claim; none for what concerns a whole
// sitting.
func (k key) channels(s *sheet.Sheet) (list []int) {
	how := families[k.family].shown
	switch {
	case how == byModeSwitch:
		return s.ModeChannels()
	case k.channel != 0:
		return []int{k.channel}
	case how == byThrottle:
		return s.ThrottleChannels()
	}
	return nil
}

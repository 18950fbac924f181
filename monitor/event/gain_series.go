package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// GainMeasured is the kind of event of a gain series.
const GainMeasured = "gain.measured"

var gainSeriesKinds = []Row{
	row(GainMeasured, "stabiliser", "How far outputs went for each degree of tilt with the gain knob at several places, and how that follows "+
		"the knob. Figures are fitted and rounded.", gainMeasuredSentence),
}

// GainMeasuredData belongs to gain.measured.
type GainMeasuredData struct {
	Mode    string      `json:"mode"`
	Axis    string      `json:"axis"`
	Channel int         `json:"channel"`       // of the knob, from 1
	Outputs []int       `json:"outputs"`       // that answer, added up the way that each does
	By      RestBy      `json:"by"`            // how the angles are known
	Places  []GainPlace `json:"places"`        // in the order in which they were asked for
	Law     GainLaw     `json:"law"`           // how the answers follow the knob
	Why     string      `json:"why,omitempty"` // why that can't be told, a clause
	// AtNS is the place at which a law that is flat at one end has its bend: the last of those that are alike, seen from that end.
	AtNS unit.Width `json:"at_ns,omitempty"`
}

// GainPlace is one place of the knob. Where Why says something its figures are 0.
type GainPlace struct {
	GainNS            unit.Width `json:"gain_ns"`   // where the knob stood
	SharePPM          int64      `json:"share_ppm"` // how much of full gain that is by the sheet's law
	Rests             int64      `json:"rests"`     // that the line rests on
	PerDegreeNS       unit.Width `json:"per_degree_ns"`
	PerDegreeWithinNS unit.Width `json:"per_degree_within_ns"`
	Why               string     `json:"why,omitempty"` // why no line was laid, a clause
}

// GainLaw is how the answers of a stabiliser follow the gain on the wire, a word.
type GainLaw string

// The laws.
const (
	GainStraight  GainLaw = "straight"   // in a straight line
	GainReversed  GainLaw = "reversed"   // the less, the more gain the sheet has there
	GainConstant  GainLaw = "constant"   // alike at all places
	GainFlatBelow GainLaw = "flat-below" // alike up to a place, and from there in a straight line
	GainFlatAbove GainLaw = "flat-above" // in a straight line up to a place, and alike from there
	GainRising    GainLaw = "rising"     // the more, but in no straight line
	GainTurns     GainLaw = "turns"      // now more, now less
	GainUnknown   GainLaw = ""           // that can't be told
)

// gainLaws say it; AtNS is put in where there is one.
var gainLaws = map[GainLaw]string{
	GainStraight:  "the answers follow the knob in a straight line",
	GainReversed:  "the answers are reversed: the less, the more gain the sheet has there",
	GainConstant:  "the answers are alike at all places: what the knob sends does not set them",
	GainFlatBelow: "the knob has a dead end: up to %s the answers are alike, and grow from there",
	GainFlatAbove: "the knob has a dead end: the answers grow up to %s, and are alike from there",
	GainRising:    "the answers grow with the gain, but in no straight line",
	GainTurns:     "the answers grow and shrink as the knob is turned",
}

// PlacesText says what was found at each place: "1500 µs: 0.01 ± 0.05, 1756 µs: 2.48 ± 0.10 µs a degree".
func (d *GainMeasuredData) PlacesText() string {
	list := make([]string, 0, len(d.Places))
	for _, p := range d.Places {
		at := unit.FormatWidth(p.GainNS) + ": "
		if p.Why != "" {
			list = append(list, at+"open, "+p.Why)
			continue
		}
		list = append(list, fmt.Sprintf("%s%s ± %s", at, hundredths(p.PerDegreeNS), hundredths(p.PerDegreeWithinNS)))
	}
	return strings.Join(list, "; ")
}

// Most is the place that answers most, nil where none has figures.
func (d *GainMeasuredData) Most() (most *GainPlace) {
	for i := range d.Places {
		if p := &d.Places[i]; p.Why == "" && (most == nil || p.PerDegreeNS > most.PerDegreeNS) {
			most = p
		}
	}
	return most
}

// LawText says how the answers follow the knob; "" where that can't be told.
func (d *GainMeasuredData) LawText() string {
	says := gainLaws[d.Law]
	if d.AtNS != 0 {
		return fmt.Sprintf(says, unit.FormatWidth(d.AtNS))
	}
	return says
}

func gainMeasuredSentence(_ *Event, _ string, d *GainMeasuredData) string {
	where := fmt.Sprintf("in %s, about %s, µs a degree with the gain at %s", text.ModeName(d.Mode), d.Axis, d.PlacesText())
	if d.Law == GainUnknown {
		return where + ": how they follow the knob can't be told: " + d.Why
	}
	return where + ": " + d.LawText()
}

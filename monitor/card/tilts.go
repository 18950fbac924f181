package card

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Tilt is what one surface must do when the model is tilted by hand.
type Tilt struct {
	Tilt    string // tail raised
	Surface string
	Output  string // its number, and what its pulse does where the sheet says so
	Must    string // up
	Stick   string // with which end of which stick it goes the same way; "" where the sheet has no such stick
	Seen    string
}

// axis is what hands do about one, and what surfaces then must do (common practice). A word that the sheet has
// for a surface is taken for what it is; under other words only the stick is known.
type axis struct {
	name, tilt string
	surfaces   []surface // of the first that a name contains
}

type surface struct{ called, left, right, must string }

var axes = []axis{
	{sheet.Pitch, "tail raised", []surface{{"elevator", "", "", "up"}, {"elevon", "", "", "up"}, {"tail", "", "", "up"}}},
	{sheet.Roll, "left wing raised", []surface{
		{"aileron", "up", "down", "the left one up, the right one down"},
		{"elevon", "up", "down", "the left one up, the right one down"},
		{"flaperon", "up", "down", "the left one up, the right one down"},
	}},
	{sheet.Yaw, "nose jerked left", []surface{
		{"rudder", "", "", "rear edge to the right"}, {"tail", "", "", "rear edge to the right"},
		{"motor", "faster", "slower", "as the stick has it"},
	}},
}

// tiltNotes stand below the tilts (common practice).
const tiltNotes = "The opposite tilt, the other way. What answers the jerked nose fades. A mode that holds a course may creep on a still bench. " +
	"Hardly any movement: gain, mode, limit learning, or nobody tilted."

// tilts lists what each output must do, axis by axis.
func tilts(s *sheet.Sheet, seen *seen) (list []Tilt) {
	for _, a := range axes {
		stick, end, known := s.Reference(a.name)
		for _, o := range s.Corrected(a.name) {
			t := Tilt{Tilt: a.tilt, Surface: name(o.Surface), Output: fmt.Sprintf("output %d", o.Number), Must: a.must(o)}
			if known {
				t.Stick = fmt.Sprintf("as with %s stick %s", name(stick.Name), end.Name)
				t.Output += pulse(o, stick, end)
			}
			t.Seen = seen.of(claim.FamilyCorrection.ID(a.name, event.AboutOutput.Numbered(o.Number)))
			list = append(list, t)
		}
	}
	return list
}

// must says which way a surface goes, by what it is called.
func (a *axis) must(o *sheet.Output) string {
	words := strings.ToLower(o.Surface)
	i := slices.IndexFunc(a.surfaces, func(x surface) bool { return strings.Contains(words, x.called) })
	if i < 0 {
		return "as the stick has it"
	}
	switch x := a.surfaces[i]; {
	case x.left != "" && strings.Contains(words, "left"):
		return x.left
	case x.right != "" && strings.Contains(words, "right"):
		return x.right
	default:
		return x.must
	}
}

// pulse says what the pulse of an output does, where the sheet says how the stick moves it.
func pulse(o *sheet.Output, stick *sheet.Channel, end sheet.Place) string {
	rest := stick.Neutral
	for _, p := range stick.Places {
		if rest == 0 && p.Name != end.Name {
			rest = p.Width
		}
	}
	for _, m := range o.MovedBy {
		if m.Channel == stick.Number && !m.Find {
			if (end.Width > rest) == (m.Weight > 0) {
				return ", pulse wider"
			}
			return ", pulse narrower"
		}
	}
	return ""
}

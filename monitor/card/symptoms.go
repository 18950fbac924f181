package card

import (
	"fmt"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
)

// Symptom is something that a model did in the air, what is likely behind it, and what shows that on the bench
// (common practice: none of it is certain).
type Symptom struct {
	Air, Cause, Show string
	Seen             string
}

// inTheAir are the symptoms of a correction that goes the wrong way, by axis.
var inTheAir = map[string]struct{ air, show string }{
	sheet.Roll:  {"rolls by itself, more the more it is disturbed", "left wing raised"},
	sheet.Pitch: {"climbs or dives by itself", "tail raised"},
	sheet.Yaw:   {"turns by itself, or its tail swings out", "nose jerked left"},
}

// howDrill says what stands in the column of the bench.
const howDrill = "A drill is done at home: benchproof watch listens, and benchproof drill NAME leads through it."

// bench knows which drills a sheet has.
type bench struct {
	plans []drill.Plan
	seen  *seen
}

// by names drills that show something, and what to look at there; those that the sheet has nothing for are left
// out, and where none is left the eye has to do.
func (b *bench) by(look string, drills ...string) string {
	names := ""
	for _, d := range drills {
		if _, ok := drill.Find(b.plans, d); ok {
			if names != "" {
				names += ", "
			}
			names += d
		}
	}
	if names == "" {
		return "by eye: " + look
	}
	return "drill " + names + ": " + look
}

func symptoms(s *sheet.Sheet, seen *seen) (list []Symptom) {
	b := &bench{drill.Plans(s), seen}
	list = append(list, b.wrongWay()...)
	if s.Stabiliser != nil {
		list = append(list, b.corrections(s)...)
		list = append(list, b.stabiliser(s)...)
		list = append(list, b.modes()...)
	}
	list = append(list, b.link(s)...)
	return list
}

// wrongWay is about sticks.
func (b *bench) wrongWay() []Symptom {
	return []Symptom{
		{"a surface goes the wrong way with its stick", "channel or servo reversed; a mix left on in the transmitter",
			b.by("one stick at a time, and look at the surface", drill.Order), b.seen.family(claim.FamilyOrder, "")},
		{"a stick reaches too little", "low rate, end points, or limits learned short",
			b.by("both ends", drill.Ends), b.seen.family(claim.FamilyTravel, "")},
	}
}

func (b *bench) corrections(s *sheet.Sheet) (list []Symptom) {
	for _, a := range axes {
		if len(s.Corrected(a.name)) == 0 {
			continue
		}
		x := inTheAir[a.name]
		list = append(list, Symptom{x.air + ", with the stabiliser on", fmt.Sprintf("the correction of %s is reversed, or the receiver lies another way", a.name),
			b.by(x.show+": surfaces as above", drill.Correction), b.seen.family(claim.FamilyCorrection, a.name)})
	}
	return list
}

func (b *bench) stabiliser(s *sheet.Sheet) []Symptom {
	list := []Symptom{
		{"swings or trembles, more the faster it is", "too much gain; play in a linkage",
			b.by("a swing at rest or after a tilt; no swing on a bench proves nothing", drill.Response), ""},
		{"no stabilisation in any mode", "gain at none; mode off; asleep until the throttle was once advanced; limits not learned",
			b.by("gain first, then modes, then a tilt in each", drill.Gain, drill.Mode, drill.Response), b.seen.family(claim.FamilyResponse, "")},
	}
	if len(s.ThrottleChannels()) == 0 {
		list[1].Cause = "gain at none; mode off; limits not learned"
	}
	if s.HoldsAttitude() != nil {
		list = append(list, Symptom{"does not stay level in " + name(s.HoldsAttitude().Name), "level learned in another attitude; the receiver has shifted",
			b.by("on a stand as it is to fly, outputs as in the mode that is off", drill.Degrees, drill.Levelling), b.seen.family(claim.FamilyLevel, "")})
	}
	if x := s.Righting(); x != nil {
		c, _ := s.Channel(x.Channel)
		list = append(list, Symptom{name(c.Name) + " does not bring it upright, or stays on", "the switch; attitude holding reversed or not level",
			b.by("after response and correction", drill.Righting), b.seen.family(claim.FamilyRighting, "")})
	}
	return list
}

func (b *bench) modes() []Symptom {
	return []Symptom{
		{"answers as in another mode than the switch stands for", "the switch lands near the edge of a window, or passes another mode",
			b.by("each position, and its margin", drill.Mode), b.seen.family(claim.FamilyMode, "")},
		{"jumps when the mode or the flight phase changes", "neutrals differ from mode to mode; trims differ from phase to phase",
			b.by("sticks let go in each mode and phase", drill.Neutral), b.seen.family(claim.FamilyShift, "")},
	}
}

// link is about the signal, and the motor.
func (b *bench) link(s *sheet.Sheet) []Symptom {
	list := []Symptom{{"controls freeze, jerk or die for a moment", "frames missed, and the receiver holds; or its supply gives way",
		b.by("walk with marks; stir all sticks on the flight supply", drill.Range, drill.Stir), b.seen.family(claim.FamilyLink, "")}}
	if throttles := s.ThrottleChannels(); len(throttles) > 0 {
		c, _ := s.Channel(throttles[0])
		list = append(list, Symptom{"the motor stops, or runs, by itself", "failsafe; throttle cut; the supply of controller or receiver",
			b.by("twice, the second after two minutes; then cut with the stick up", drill.Failsafe, drill.Neutral, drill.PowerUp),
			b.seen.of(failsafeOf(c), claim.FamilyCut.ID(c.Name), claim.FamilyPowerUp.ID(c.Name))})
	}
	return list
}

// cautions are those of the bench on which a cause is looked for.
func cautions(s *sheet.Sheet) []string {
	list := []string{
		"Propeller off AND the drive unable to run before anything here is shown: motor leads off, or the receiver on a supply of its own with the " +
			"controller's whole plug out; a piston engine stopped, its ignition off.",
		"Hands clear of surfaces: a stabiliser moves them by itself. With a receiver that holds, nobody can stop a motor by radio.",
		"After any change what was seen is stale. The receiver's manual, the rules of the site and the law come first.",
	}
	if len(s.ThrottleChannels()) == 0 {
		list[0] = "No throttle stands in the sheet; where a motor is fitted all the same, it is unable to run before anything here is shown."
	}
	return list
}

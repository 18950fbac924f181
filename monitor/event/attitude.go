package event

import (
	"fmt"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// The kinds of event of a model that rests at known angles.
const (
	ModelRested   = "model.rested"
	AnswerFitted  = "answer.fitted"
	EntryMeasured = "entry.measured"
	LevelMeasured = "level.measured"
)

var attitudeKinds = []Row{
	offScreen(row(ModelRested, "drill:NAME", "The model rested at an angle, and this is where the outputs stood.", restedSentence)),
	outputRow(AnswerFitted, "How far an output goes for each degree of tilt, by lines laid through the rests of one mode and axis. "+
		"Figures are fitted and rounded.", fittedSentence),
	row(EntryMeasured, "stabiliser", "What a mode does that was entered while the model was tilted: an attitude is held where outputs answer "+
		"at once, a course where they start from rest.", enteredSentence),
	row(LevelMeasured, "stabiliser", "The attitude at which outputs are those of the mode that does nothing, counted from the one that was "+
		"declared for flying.", levelSentence),
}

// Rest is the model at rest at an angle about an axis, from one instant of wire time to another, as a
// person read it or a sensor felt it. Angles are millidegrees from the attitude that was
// declared for flying: tail raised, left wing raised and nose turned left are positive.
type Rest struct {
	Axis      string    `json:"axis"`
	AngleMDeg int64     `json:"angle_mdeg"`
	DoubtMDeg int64     `json:"doubt_mdeg"` // the true angle lies within, on either side
	FromNS    unit.Time `json:"from_ns"`
	ToNS      unit.Time `json:"to_ns"`
	By        RestBy    `json:"by"`
}

// RestBy is how the angle of a rest is known.
type RestBy string

// How angles are known. Nobody but who typed it says that there was a tilt.
const (
	RestTyped   RestBy = "typed"   // read off an inclinometer by a person
	RestCounted RestBy = "counted" // laid down in the attitude for flying, on a count
	RestFelt    RestBy = "felt"    // by a sensor that lay on the model
)

// FeltAngle is a turn from the attitude for flying, as a phone felt it, as the angle of a rest about an axis, and its
// doubt: all of the turn where it was about that axis. A phone counts hundredths of a degree, positive with the nose
// raised and to the right.
func FeltAngle(axis string, t *attitude.Turn) (mdeg, within int64) {
	const cdeg = 10 // millidegrees
	if axis == "roll" {
		return cdeg * t.About(axis), cdeg * t.DoubtCdeg
	}
	return -cdeg * t.About(axis), cdeg * t.DoubtCdeg
}

// ModelRestedData belongs to model.rested.
type ModelRestedData struct {
	Rest
	Prompt  string       `json:"prompt"`            // that asked for it
	Mode    string       `json:"mode"`              // the bus asked for, "" for none of the sheet's
	Asked   string       `json:"asked"`             // the drill wanted, "" for any
	Why     string       `json:"why,omitempty"`     // why nothing follows from it, a clause
	GainNS  unit.Width   `json:"gain_ns"`           // width of the gain channel, 0 where there is none
	Side    int          `json:"side"`              // to which side of level it was to be, -1 or 1; 0: level
	Outputs []OutputRest `json:"outputs"`           // those that correct the axis, or anything where there is none
	Sticks  []unit.Width `json:"sticks"`            // widths of the sticks that move these outputs, in the order of the sheet
	Last    bool         `json:"last,omitempty"`    // of its axis and mode: lines are laid now
	GainAt  int          `json:"gain_at,omitempty"` // at which place of the gain knob, from 1; 0: in no gain series
	// FineNS is how fine a delay is known at most where a phone felt the tilt: its sentences are late by as much, more or less.
	FineNS unit.Duration `json:"fine_ns,omitempty"`
	// BiasWithinMDeg is what is left of the phone's own bias once it was turned half round; 0: it was not.
	BiasWithinMDeg int64 `json:"bias_within_mdeg,omitempty"`
}

// OutputRest is where an output stood during a rest.
type OutputRest struct {
	Output int        `json:"output"`
	MeanNS unit.Width `json:"mean_ns"` // 0: it was silent
	SwayNS unit.Width `json:"sway_ns"` // how far it went to and fro
	KickNS unit.Width `json:"kick_ns"` // how far it went at most since the prompt, to either side
	// AnsweredNS is within what time of the tilt's beginning, as a phone felt it, the output had begun to answer; 0: nobody knows.
	AnsweredNS unit.Duration `json:"answered_ns,omitempty"`
}

// AnswerFittedData belongs to answer.fitted. Doubts are half the interval of 95 %, with what the
// readings of the angles are good for in it.
type AnswerFittedData struct {
	Mode  string `json:"mode"`
	Axis  string `json:"axis"`
	Why   string `json:"why,omitempty"` // why no line was laid, a clause; figures are 0 then
	By    RestBy `json:"by"`            // how the angles are known
	Rests int64  `json:"rests"`         // that the lines rest on

	FromMDeg          int64      `json:"from_mdeg"` // the angles that they reach
	ToMDeg            int64      `json:"to_mdeg"`
	PerDegreeNS       unit.Width `json:"per_degree_ns"` // signed
	PerDegreeWithinNS unit.Width `json:"per_degree_within_ns"`
	AtLevelNS         unit.Width `json:"at_level_ns"` // in the middle between both sides
	AtLevelWithinNS   unit.Width `json:"at_level_within_ns"`
	DeadMDeg          int64      `json:"dead_mdeg"` // the dead band, from edge to edge; 0 where none is asked for, or none was seen
	DeadWithinMDeg    int64      `json:"dead_within_mdeg"`
	FarNS             unit.Width `json:"far_ns"`   // how far from level the output rested at most
	KickNS            unit.Width `json:"kick_ns"`  // how far it went at most on its way to a rest
	CreepNS           unit.Width `json:"creep_ns"` // from the first rest at level to the last
	// AnsweredNS is within what time of a tilt's beginning it had begun to answer, at best; FineNS is how fine a
	// delay can be known. 0 where no phone felt the tilts.
	AnsweredNS unit.Duration `json:"answered_ns,omitempty"`
	FineNS     unit.Duration `json:"fine_ns,omitempty"`
}

// What a mode holds that was entered while tilted.
const (
	HoldsAttitude = "attitude"
	HoldsCourse   = "course"
)

// EntryMeasuredData belongs to entry.measured.
type EntryMeasuredData struct {
	Mode       string     `json:"mode"`
	Axis       string     `json:"axis"`
	Why        string     `json:"why,omitempty"` // why nothing follows, a clause
	AngleMDeg  int64      `json:"angle_mdeg"`    // at which it was entered
	SeenNS     unit.Width `json:"seen_ns"`       // from where outputs were at level in the mode, all that correct the axis together, the way that they answer
	ExpectedNS unit.Width `json:"expected_ns"`   // of what holds an attitude, by the lines
	Holds      string     `json:"holds"`         // HoldsAttitude, HoldsCourse, "" where it can't be told
}

// LevelMeasuredData belongs to level.measured.
type LevelMeasuredData struct {
	Mode       string `json:"mode"`
	Off        string `json:"off"` // the mode that does nothing
	Axis       string `json:"axis"`
	Why        string `json:"why,omitempty"` // why nothing was found, a clause
	LevelMDeg  int64  `json:"level_mdeg"`    // from the attitude declared for flying, signed
	WithinMDeg int64  `json:"within_mdeg"`   // 95 %, and half the dead band beside
	DeadMDeg   int64  `json:"dead_mdeg"`     // the dead band, from edge to edge
	By         RestBy `json:"by,omitempty"`  // how the angles are known, where a phone felt them
	// BiasWithinMDeg is what is left of the phone's own bias, which is taken off; 0: it was not turned half round.
	BiasWithinMDeg int64 `json:"bias_within_mdeg,omitempty"`
}

// BiasText says what became of the bias of a phone that felt the angles, "" where none did.
func (d *LevelMeasuredData) BiasText() string {
	switch {
	case d.By != RestFelt:
		return ""
	case d.BiasWithinMDeg == 0:
		return "; the phone was not seen turned half round on its spot: its own bias is in that doubt"
	}
	return fmt.Sprintf("; the phone was turned half round on its spot: its own bias is taken off, to within %s", Degrees(d.BiasWithinMDeg))
}

// tilted are the words for a turn about an axis to either side (common practice).
var tilted = map[string][2]string{"pitch": {"tail up", "nose up"}, "roll": {"left wing up", "right wing up"}, "yaw": {"nose left", "nose right"}}

// FormatAngle is an angle from level: "tail up by 2.5°", "level".
func FormatAngle(axis string, angle int64) string {
	way := tilted[axis][0]
	switch {
	case unit.Abs(angle) < 50:
		return "level"
	case angle < 0:
		way, angle = tilted[axis][1], -angle
	}
	return way + " by " + Degrees(angle)
}

// Degrees is an angle without its way, in tenths of a degree: "2.5°".
func Degrees(angle int64) string {
	sign := ""
	if angle < 0 {
		sign, angle = "-", -angle
	}
	tenths := (angle + 50) / 100
	if tenths%10 == 0 {
		return fmt.Sprintf("%s%d°", sign, tenths/10)
	}
	return fmt.Sprintf("%s%d.%d°", sign, tenths/10, tenths%10)
}

// PerDegree is a slope with its doubt: "4.61 ± 0.08 µs a degree".
func PerDegree(perDegree, within unit.Width) string {
	return fmt.Sprintf("%s ± %s µs a degree", hundredths(perDegree), hundredths(within))
}

// hundredths is a width in µs with two decimals.
func hundredths(w unit.Width) string {
	sign := ""
	if w <= -5 {
		sign = "-"
	}
	w = (unit.Abs(w) + 5) / 10
	return fmt.Sprintf("%s%d.%02d", sign, w/100, w%100)
}

func restedSentence(_ *Event, _ string, d *ModelRestedData) string {
	s := fmt.Sprintf("the model rested %s (%s, within %s)", FormatAngle(d.Axis, d.AngleMDeg), d.By, Degrees(d.DoubtMDeg))
	if d.Axis == "" {
		s = "the model rested in the attitude for flying"
	}
	for _, o := range d.Outputs {
		s += fmt.Sprintf(", output %d at %s", o.Output, unit.FormatWidth(o.MeanNS))
	}
	if d.Why != "" {
		s += "; nothing follows from it: " + d.Why
	}
	return s
}

func fittedSentence(_ *Event, d *AnswerFittedData) string {
	where := fmt.Sprintf("in %s, about %s: ", text.ModeName(d.Mode), d.Axis)
	if d.Why != "" {
		return where + "no line can be laid: " + d.Why
	}
	s := fmt.Sprintf("%s%s, from %s to %s in %d rests", where, PerDegree(d.PerDegreeNS, d.PerDegreeWithinNS), Degrees(d.FromMDeg), Degrees(d.ToMDeg), d.Rests)
	if d.DeadMDeg > 0 {
		s += fmt.Sprintf(", a dead band of %s ± %s", Degrees(d.DeadMDeg), Degrees(d.DeadWithinMDeg))
	}
	s = fmt.Sprintf("%s; on the way it kicked by %s at most", s, unit.FormatWidth(d.KickNS))
	if d.AnsweredNS > 0 {
		s += fmt.Sprintf(", and had begun to answer within %s of the tilt; a delay finer than %s can't be told by this phone",
			unit.FormatDuration(d.AnsweredNS), unit.FormatDuration(d.FineNS))
	}
	return s
}

func enteredSentence(_ *Event, _ string, d *EntryMeasuredData) string {
	s := fmt.Sprintf("%s, entered with the %s: ", text.ModeName(d.Mode), FormatAngle(d.Axis, d.AngleMDeg))
	switch {
	case d.Why != "":
		return s + "nothing can be told: " + d.Why
	case d.Holds == HoldsAttitude:
		return s + fmt.Sprintf("answered at once, by %s: it holds an attitude", unit.FormatWidth(d.SeenNS))
	case d.Holds == HoldsCourse:
		return s + fmt.Sprintf("started from rest (%s, where an attitude would want %s): it holds what it was entered at",
			unit.FormatWidth(d.SeenNS), unit.FormatWidth(d.ExpectedNS))
	}
	return s + fmt.Sprintf("%s of the %s that an attitude would want: which it holds can't be told", unit.FormatWidth(d.SeenNS), unit.FormatWidth(d.ExpectedNS))
}

func levelSentence(_ *Event, _ string, d *LevelMeasuredData) string {
	where := fmt.Sprintf("in %s, about %s: ", text.ModeName(d.Mode), d.Axis)
	if d.Why != "" {
		return where + "its level can't be told: " + d.Why
	}
	return fmt.Sprintf("%soutputs are those of %s with the model %s (± %s), counted from the attitude for flying%s", where, text.ModeName(d.Off),
		FormatAngle(d.Axis, d.LevelMDeg), Degrees(d.WithinMDeg), d.BiasText())
}

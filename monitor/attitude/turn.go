package attitude

import "benchproof.example/monitor/unit"

// Top is where the top edge of the phone points, its screen up.
type Top string

// The places; the nose where a sheet says nothing.
const (
	TopNose  Top = "nose"
	TopTail  Top = "tail"
	TopLeft  Top = "left"
	TopRight Top = "right"
)

// model makes pitch and roll of a turn about the phone's axes.
//
//	top to the nose: x is to the right, y forward: nose raised is +x, left wing raised +y
func (t Top) model(x, y int64) (pitch, roll int64) {
	switch t {
	case TopTail:
		return -x, -y
	case TopLeft:
		return -y, x
	case TopRight:
		return y, -x
	}
	return x, y
}

// sure is the doubt about an angle that no stray shows: half a degree of a phone's own, which is
// left of its bias over a turn (from memory).
const sure = 50

// Turn is by how much the model was turned from one rest to the next. Angles are hundredths of
// a degree. Pitch and roll are the two parts of one turn of the vertical, AngleCdeg.
type Turn struct {
	FromNS    unit.Time `json:"from_ns"`  // the rest before was over
	ToNS      unit.Time `json:"to_ns"`    // the rest behind it began
	UntilNS   unit.Time `json:"until_ns"` // and lasted until then, so far
	AngleCdeg int64     `json:"angle_cdeg"`
	PitchCdeg int64     `json:"pitch_cdeg"` // positive: nose raised
	RollCdeg  int64     `json:"roll_cdeg"`  // positive: left wing raised
	YawCdeg   int64     `json:"yaw_cdeg"`   // positive: nose to the right; by the rate of turn alone
	DoubtCdeg int64     `json:"doubt_cdeg"` // to either side
	MostCdeg  int64     `json:"most_cdeg"`  // how far the model was from the rest before, at most, on the way
	Fastest   int64     `json:"fastest"`    // rate of turn on the way, degrees a second
	Gyro      bool      `json:"gyroscope"`  // there was one: else nothing is known of yaw
	// Axis is about which axis it was, "" where it was about none of them alone.
	Axis string `json:"axis,omitempty"`
	// Why is why nothing follows from it, a word; "" where something does.
	Why string `json:"why,omitempty"`
}

// The words of Turn.Why.
const (
	WhySmall   = "too-small" // less than ten degrees
	WhyFast    = "too-fast"  // faster than the phone can follow
	WhyTwoAxes = "two-axes"  // about two axes at once
	WhyHole    = "hole"      // attitudes are lacking in between
	WhyLeapt   = "jumped"    // the phone did what no hand does with a model: it slid or fell
)

const (
	least    = 1000 // cdeg: a turn that is worth a name
	aboutOne = 3500 // cdeg: how far the axis may lie from the model's: askew by 20 degrees, and the hands' own 15
	tooFast  = 500  // degrees a second: a hand that tilts a model briskly turns it by 200 (from memory)
)

// TurnOf is the turn from one rest to another behind it, by a phone whose top edge points there.
func TurnOf(a, b *Rest, top Top) Turn {
	t := Turn{
		FromNS: a.ToNS, ToNS: b.FromNS, UntilNS: b.ToNS, AngleCdeg: Between(a.Up, b.Up),
		DoubtCdeg: sure + a.Stray/2 + b.Stray/2, MostCdeg: b.MostCdeg, Fastest: b.Fastest, Gyro: b.Gyro,
	}
	axis := b.Up.cross(a.Up).over(scale)
	if long := axis.long(); long > 0 {
		t.PitchCdeg, t.RollCdeg = top.model(rounded(t.AngleCdeg*axis[0], long), rounded(t.AngleCdeg*axis[1], long))
	}
	if t.Gyro {
		t.YawCdeg = -(b.YawFrom - a.YawTo - a.drift(b.FromNS.Sub(a.ToNS)))
	}
	if t.Axis = t.axis(); t.Axis == "yaw" { // in the tenths in which a rest ends and begins it may have turned
		t.DoubtCdeg += 2 * turns
	}
	t.Why = t.why(b)
	return t
}

// LeanOf is by how much the model leans otherwise in a rest than in one of any time before: what gravity
// tells alone, since turns about the vertical drift away.
func LeanOf(a, b *Rest, top Top) Turn {
	now := *b
	now.Gyro = false
	t := TurnOf(a, &now, top)
	t.MostCdeg = t.AngleCdeg
	return t
}

// About is the part of a turn about pitch or roll, with its sign: all of it where it was about that axis.
func (t *Turn) About(axis string) int64 {
	switch {
	case t.Axis == axis && t.AngleCdeg >= nobody:
		return t.Signed()
	case axis == "pitch":
		return t.PitchCdeg
	}
	return t.RollCdeg
}

// drift is what a gyroscope that rests says it turned in so long, by what it said in the rest.
func (r *Rest) drift(d unit.Duration) int64 {
	return rounded((r.YawTo-r.YawFrom)*int64(d/unit.Microsecond), max(1, int64(r.For()/unit.Microsecond)))
}

// axis is the one about which it was turned, "" where there is none alone.
func (t *Turn) axis() string {
	yaw := max(t.YawCdeg, -t.YawCdeg)
	switch off := Angle(max(t.RollCdeg, -t.RollCdeg), max(t.PitchCdeg, -t.PitchCdeg)); {
	case yaw > 0 && 2*t.AngleCdeg <= yaw:
		return "yaw"
	case 2*yaw > t.AngleCdeg:
		return ""
	case off <= aboutOne:
		return "pitch"
	case off >= 9000-aboutOne:
		return "roll"
	}
	return ""
}

func (t *Turn) why(b *Rest) string {
	switch {
	case b.HoleNS > hole:
		return WhyHole
	case b.Leapt:
		return WhyLeapt
	case b.Fastest > tooFast:
		return WhyFast
	case max(t.AngleCdeg, t.YawCdeg, -t.YawCdeg) < least:
		return WhySmall
	case t.Axis == "":
		return WhyTwoAxes
	}
	return ""
}

// Signed is the angle of the turn with the sign that it has about its axis, 0 where it has none. Of
// pitch and roll it is all of the turn, however askew the phone lies.
func (t *Turn) Signed() int64 {
	switch {
	case t.Axis == "yaw":
		return t.YawCdeg
	case t.Axis == "pitch" && t.PitchCdeg < 0, t.Axis == "roll" && t.RollCdeg < 0:
		return -t.AngleCdeg
	case t.Axis == "":
		return 0
	}
	return t.AngleCdeg
}

// Leans compares the way that a model leans with what was asked for, however little that was.
func (t *Turn) Leans(ask Ask) Sight {
	leans := *t
	if leans.Why == WhySmall {
		leans.Why = ""
		if leans.Axis == "" && leans.AngleCdeg >= nobody {
			leans.Why = WhyTwoAxes
		}
	}
	return leans.sight(ask)
}

// HeldNS is for how long it was held so far.
func (t *Turn) HeldNS() unit.Duration { return t.UntilNS.Sub(t.ToNS) }

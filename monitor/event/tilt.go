package event

import (
	"fmt"

	"benchproof.example/decode/tilt"
	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/unit"
)

// The kinds of event of a phone that lies on the model; its tap is of kind "tilt".
const (
	TiltHeard   = "tilt.heard"
	TiltSilent  = "tilt.silent"
	TiltTrouble = "tilt.trouble"
	TiltHeld    = "tilt.held"
	TiltLaid    = "tilt.laid"
)

var tiltKinds = []Row{
	row(TiltHeard, "tap:NAME", "A phone on the model says how it lies, for the first time or again. It is a radio of its own: what the link "+
		"does from here on is left out of link, range, failsafe times and soak.", tiltHeardSentence),
	row(TiltSilent, "tap:NAME", "No attitude comes from it any more; its onset is the last one.", tiltSilentSentence),
	troubleIf(func(d TiltTroubleData) bool { return !d.Over && d.Why != TiltNoGyroscope },
		row(TiltTrouble, "tap:NAME", "Why nothing follows from what the phone says, or that this is over.", tiltTroubleSentence)),
	offScreen(row(TiltHeld, "tap:NAME", "The model was turned and has been held, or has lain, still for a second: by how much, about which axis, "+
		"and how sure that is.", tiltHeldSentence)),
	row(TiltLaid, "tap:NAME", "Whether tail, left wing and nose raised agree with one another and with how the sheet says that the phone lies.",
		tiltLaidSentence),
}

// Attitude is how a phone lies.
type Attitude = tilt.Attitude

// PhoneStatus is what a phone says of itself.
type PhoneStatus = tilt.Status

// TiltHeardData belongs to tilt.heard.
type TiltHeardData struct {
	SilentNS  unit.Duration `json:"silent_ns"` // how long none had come; 0 for the first
	Gyroscope bool          `json:"gyroscope"`
}

// TiltSilentData belongs to tilt.silent.
type TiltSilentData struct {
	LimitNS unit.Duration `json:"limit_ns"`         // the wait that was long enough to say so; 0: its tap is not listened to any more
	Asleep  bool          `json:"asleep,omitempty"` // its page said that it is hidden, or that the screen goes dark
}

// TiltTroubleData belongs to tilt.trouble.
type TiltTroubleData struct {
	Why    string `json:"why"`              // one of the words below
	Over   bool   `json:"over,omitempty"`   // it is over
	Figure int64  `json:"figure,omitempty"` // slow: attitudes in the last two seconds; clock: parts per million that the phone's clock is off
}

// The words of TiltTroubleData.Why.
const (
	TiltSlow        = "slow"
	TiltNoGyroscope = "no-gyroscope"
	TiltScreen      = "turned-screen"
	TiltClock       = "clock"
	TiltSecond      = "second-phone"
	TiltJumped      = "jumped"
)

// TiltTroubles are those words.
func TiltTroubles() []string {
	return []string{TiltSlow, TiltNoGyroscope, TiltScreen, TiltClock, TiltSecond, TiltJumped}
}

// TiltHeldData belongs to tilt.held.
type TiltHeldData struct {
	attitude.Turn
	// JitterNS is by how much more than the quickest sentences were late: no time of the phone is known finer.
	JitterNS unit.Duration `json:"jitter_ns"`
}

// TiltLaidData belongs to tilt.laid.
type TiltLaidData struct {
	Agrees bool       `json:"agrees"`
	Raised []TiltSeen `json:"raised"` // tail, left wing, nose, as far as asked for
	Why    string     `json:"why"`    // what is to be looked at, a clause; "" where it agrees
}

// TiltSeen is what a phone saw of one tilt that was asked for.
type TiltSeen struct {
	Tap   string         `json:"tap"`
	Sight attitude.Sight `json:"sight"`
	Asked string         `json:"asked"` // as people say it: "tail raised"
	Laid  bool           `json:"laid"`  // how the phone lies was shown before, and it has not moved on the model since
	Why   string         `json:"why,omitempty"`
	attitude.Turn
	JitterNS unit.Duration `json:"jitter_ns"` // see TiltHeldData
}

// WholeDegrees is an angle in hundredths of a degree, in whole degrees.
func WholeDegrees(cdeg int64) string {
	if cdeg < 0 {
		return fmt.Sprintf("%d°", -((-cdeg + 50) / 100))
	}
	return fmt.Sprintf("%d°", (cdeg+50)/100)
}

// askedTilts are the tilts as people say them, by axis: there, and the opposite.
var askedTilts = map[string][2]string{
	"pitch": {"tail raised", "nose raised"}, "roll": {"left wing raised", "right wing raised"}, "yaw": {"nose turned left", "nose turned right"},
}

// TiltAsked is a tilt that is asked for as people say it: "tail raised".
func TiltAsked(axis string, opposite bool) string {
	if opposite {
		return askedTilts[axis][1]
	}
	return askedTilts[axis][0]
}

// Raised says a turn as people say it.
func Raised(t *attitude.Turn) string {
	angle := t.Signed()
	by := " by " + WholeDegrees(max(angle, -angle))
	switch {
	case t.Axis == "pitch" && angle < 0:
		return "tail raised" + by
	case t.Axis == "pitch":
		return "nose raised" + by
	case t.Axis == "roll" && angle > 0:
		return "left wing raised" + by
	case t.Axis == "roll":
		return "right wing raised" + by
	case t.Axis == "yaw" && angle < 0:
		return "nose turned left" + by
	case t.Axis == "yaw":
		return "nose turned right" + by
	}
	return fmt.Sprintf("turned by %s about two axes at once", WholeDegrees(max(t.AngleCdeg, t.YawCdeg, -t.YawCdeg)))
}

// TiltBecause is why a tilt was not seen, behind a sentence that says so.
func TiltBecause(s *TiltSeen) string {
	switch s.Sight {
	case attitude.SightNobody:
		return ": the phone lay still"
	case attitude.SightLetGo:
		return ": it was back before it had been held"
	case attitude.SightMoving:
		return ": the model was not held still before it and behind it"
	case attitude.SightDoubtful:
		return ": " + turnWhy[s.Turn.Why]
	case attitude.SightUnknown:
		return ": " + blindWhy[s.Why]
	case attitude.SightAsked, attitude.SightOpposite, attitude.SightOther:
	}
	return ""
}

// tiltSeen is what a phone saw of a tilt that a prompt asked for.
func tiltSeen(s *TiltSeen) string {
	words := "the phone saw " + Raised(&s.Turn)
	switch s.Sight {
	case attitude.SightAsked, attitude.SightOpposite, attitude.SightOther:
	case attitude.SightNobody, attitude.SightLetGo, attitude.SightMoving, attitude.SightDoubtful, attitude.SightUnknown:
		return "not seen by the phone" + TiltBecause(s)
	}
	if !s.Laid {
		words += " (how it lies was not shown)"
	}
	return words
}

// turnWhy are the words for why nothing follows from a turn.
var turnWhy = map[string]string{
	attitude.WhySmall:   "it was less than ten degrees",
	attitude.WhyFast:    "it was too fast for the phone",
	attitude.WhyTwoAxes: "it was about two axes at once",
	attitude.WhyHole:    "the phone was not heard all along",
	attitude.WhyLeapt:   "the phone slid or fell meanwhile",
}

// blindWhy are the words for why nobody saw a tilt.
var blindWhy = map[string]string{
	"asleep": "the phone's page was hidden, or its screen dark", "not-heard": "the phone was not heard all along", "": "no phone was heard",
	TiltNoGyroscope: "the phone has no gyroscope", TiltSlow: "attitudes came too seldom", TiltScreen: "the picture on the phone's screen was turned",
	TiltClock: "the phone's clock does not go as fast as this computer's", TiltSecond: "a second phone sent for the same tap",
}

// What the screen says of a phone.
const (
	phoneHeard = "%s: the phone on the model is heard%s; it is a radio of its own, so the link, its range, failsafe times and soaks are not judged meanwhile"
	phoneGone  = "%s: no attitude has come from the phone for %s: its tilts are not seen any more"
	phoneSleep = "%s: the phone's page was hidden or its screen went dark: wake it, and keep the page in front"
)

func tiltHeardSentence(_ *Event, name string, d *TiltHeardData) string {
	again := ""
	if d.SilentNS > 0 {
		again = " again, after " + unit.FormatDuration(d.SilentNS)
	}
	if !d.Gyroscope {
		again += ", without a gyroscope"
	}
	return fmt.Sprintf(phoneHeard, name, again)
}

func tiltSilentSentence(_ *Event, name string, d *TiltSilentData) string {
	if d.Asleep {
		return fmt.Sprintf(phoneSleep, name)
	}
	if d.LimitNS == 0 {
		return name + ": the phone is not listened to any more"
	}
	return fmt.Sprintf(phoneGone, name, unit.FormatDuration(d.LimitNS))
}

// tiltWhy are the words for what keeps a phone from being believed.
var tiltWhy = map[string]string{
	TiltSlow:        "attitudes come too seldom to see a tilt: end what else runs on the phone, or charge it",
	TiltNoGyroscope: "the phone has no gyroscope: pitch and roll are seen, yaw is not",
	TiltScreen:      "the picture on the screen is turned, so that its upper edge is not the phone's own: lock its rotation",
	TiltClock:       "the phone's clock does not go as fast as this computer's: its times are not used",
	TiltSecond:      "a second phone sends for the same tap: it is not heard; close its page",
	TiltJumped:      "the phone slid, fell or was taken off: fasten it, and do the drill laying anew",
}

func tiltTroubleSentence(_ *Event, name string, d *TiltTroubleData) string {
	s := name + ": " + tiltWhy[d.Why]
	if d.Over {
		return s + " (over)"
	}
	return s
}

func tiltHeldSentence(_ *Event, name string, d *TiltHeldData) string {
	s := fmt.Sprintf("%s: %s (±%d.%d°)", name, Raised(&d.Turn), d.DoubtCdeg/100, d.DoubtCdeg/10%10)
	if d.Why != "" {
		s += ", " + d.Why
	}
	return s
}

func tiltLaidSentence(_ *Event, name string, d *TiltLaidData) string {
	if d.Agrees {
		return name + ": tail, left wing and nose were raised as asked for, so the phone lies as the sheet says"
	}
	return name + ": " + d.Why
}

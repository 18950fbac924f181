package event

import (
	"fmt"

	"benchproof.example/monitor/attitude"
)

// PhoneTurned is the kind of event of a phone that was to be turned half round on the model, and back.
const PhoneTurned = "tilt.turned"

var phoneTurnedKinds = []Row{
	row(PhoneTurned, "tap:NAME", "The phone on the model was to be turned half round on its spot, and back: what it feels both times alike is its own "+
		"bias, and the rest is how the model lies in the attitude for flying.", phoneTurnedSentence),
}

// PhoneTurnedData belongs to tilt.turned.
type PhoneTurnedData struct {
	attitude.Round
}

func phoneTurnedSentence(_ *Event, name string, d *PhoneTurnedData) string {
	if d.Why != "" {
		return fmt.Sprintf("%s: the phone's own bias is not known, and stays in the doubt: %s", name, d.Why)
	}
	return fmt.Sprintf("%s: turned half round and back, the phone is off by %s itself (± %s), which is taken off; "+
		"where it lies, the attitude for flying has the %s "+
		"and the %s", name, Degrees(10*d.BiasCdeg), Degrees(10*d.DoubtCdeg), FormatAngle("pitch", -10*d.PitchCdeg), FormatAngle("roll", 10*d.RollCdeg))
}

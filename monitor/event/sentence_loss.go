package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// lossSentence says in one line what was measured of a loss of the signal.
func lossSentence(name string, d *LossData) string {
	did := map[LossClass]string{
		LossPreset: "the receiver went to its presets", LossHold: "the receiver held its last values",
		LossSilent: "the bus fell silent", LossMixed: "the receiver held some values and went to presets with others",
		LossMoving: "values went on moving", LossNone: "nothing was lost",
		LossUnderWay: "values were on their way when the signal was back",
	}[d.Class]
	if did == "" {
		did = "what the receiver does could not be told"
	}
	s := name + ": without a signal " + did + ", " + string(d.Flag)
	if d.Class == LossNone {
		return name + ": nothing was lost"
	}
	if d.FailsafeNS >= 0 && d.DatedBy != "unknown" {
		s += fmt.Sprintf(" (%s after the last live frame)", unit.FormatDuration(d.FailsafeNS))
	}
	if d.BackNS < 0 {
		return s + "; the signal did not come back while this was watched"
	}
	return s + fmt.Sprintf("; back after %s", unit.FormatDuration(d.BackNS))
}

// powerUpSentence says in one line what a receiver sent without its transmitter.
func powerUpSentence(name string, d *PowerUpData) string {
	switch {
	case !d.Off:
		return name + ": the bus did not fall silent, so the receiver was not switched off"
	case d.Frames == 0:
		return name + ": switched on without its transmitter, the receiver sent nothing on the bus"
	}
	return fmt.Sprintf("%s: switched on without its transmitter, the receiver sent %d frames, %d of them flagged", name, d.Frames, d.Flagged)
}

package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

func failsafeSentence(e *Event, name string, d *FailsafeData) string {
	switch {
	case e.Kind == FailsafeEntered:
		return failsafeEnteredSentence(name, d)
	case d.BeforeLink && !d.AfterSilence:
		return name + ": LINKED, the first live frame"
	case d.LiveNS < 0:
		return fmt.Sprintf("%s: failsafe flag gone after %s, but no live frame yet", name, unit.FormatDuration(d.AfterNS))
	}
	return fmt.Sprintf("%s: LINK RESTORED, failsafe stood for %s", name, unit.FormatDuration(d.AfterNS))
}

func failsafeEnteredSentence(name string, d *FailsafeData) string {
	switch {
	case d.AfterSilence:
		return name + ": failsafe flag set behind a silence, where the receiver may have begun anew: neither proof nor fault"
	case d.BeforeLink:
		return name + ": failsafe flag set before any link: neither proof nor fault"
	case d.Again:
		return name + ": failsafe flag again, with no live frame between"
	case d.AfterNS < 0:
		return name + ": LINK LOST, failsafe flag; no frame was flagged as lost before, so the last live one is not known"
	}
	return fmt.Sprintf("%s: LINK LOST, last live frame at %s, failsafe flag %s later", name, unit.FormatClock(d.LiveNS), unit.FormatDuration(d.AfterNS))
}

// linkSentence says what the flags say of the link where no failsafe flag says it.
func linkSentence(kind, name string, d *LinkData) string {
	if kind == LinkLost {
		return fmt.Sprintf("%s: NO LIVE FRAME SINCE %s, the receiver flags each as lost", name, unit.FormatClock(d.LiveNS))
	}
	return fmt.Sprintf("%s: LIVE AGAIN, after %s without a live frame", name, unit.FormatDuration(d.LostNS))
}

// settledSentence says where the values went in a failsafe.
func settledSentence(d *FailsafeSettledData) string {
	var went []string
	for i := range d.Now {
		if i < len(d.Was) && d.Now[i] != d.Was[i] {
			went = append(went, fmt.Sprintf("channel %d to %s", i+1, unit.FormatWidth(d.Now[i])))
		}
	}
	if len(went) == 0 {
		return d.Tap + ": in failsafe all channels stay where they stood"
	}
	return fmt.Sprintf("%s: in failsafe %s; the others stay", d.Tap, strings.Join(went, ", "))
}

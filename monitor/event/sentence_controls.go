package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// What the screen says of values that stood.
const (
	leaptPerhapsLost = "%s: many channels leapt in one frame: a flight phase, another model, presets or a loss, can't " +
		"be told"
	stoodPerhapsLost = "%s: the sticks stopped in full motion and stood still for %s: a pause or a loss, can't be told"
	lostAndLeapt     = "%s: A LOSS WITHOUT A FLAG, it seems: many channels leapt in one frame, and back after %s"
	lostInMotion     = "%s: A LOSS WITHOUT A FLAG, it seems: sticks froze in motion for %s, and leapt"
	lostHeartbeat    = "%s: A LOSS WITHOUT A FLAG, it seems: the heartbeat has stood for %s"
)

// controlsSentence describes what a control or its values did; "" for what is none.
func controlsSentence(e *Event, _ string) string {
	switch d := e.Data.(type) {
	case GestureData:
		return fmt.Sprintf("%s: the movement that sets it off was made, %d times within %s", d.Gesture, d.Times, unit.FormatDuration(d.SpanNS))
	case TravelClippedData:
		return clippedSentence(e.Kind, &d)
	case ValuesStillData:
		return stillSentence(e.Kind, &d)
	case ValueSpikedData:
		return fmt.Sprintf("channel %d left %s for %s, as far as %s, and came back",
			d.Channel, unit.FormatWidth(d.FromNS), frames(int64(d.Frames)), unit.FormatWidth(d.ToNS))
	case GainSweptData:
		return fmt.Sprintf("gain turned from %s to %s, between %s and %s", unit.FormatWidth(d.FromNS),
			unit.FormatWidth(d.ToNS), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
	}
	return ""
}

func clippedSentence(kind string, d *TravelClippedData) string {
	switch {
	case d.Short:
		return fmt.Sprintf("channel %d stood flat at %s for %s, between coming and leaving at a steady pace",
			d.Channel, unit.FormatWidth(d.WidthNS), unit.FormatDuration(d.DwellNS))
	case kind == TravelFree:
		return fmt.Sprintf("channel %d left the end of the bus's range", d.Channel)
	}
	return fmt.Sprintf("channel %d stands at %d counts, an end of the bus's range", d.Channel, d.Count)
}

func stillSentence(kind string, d *ValuesStillData) string {
	switch {
	case kind == ValuesPaused && d.Because == "leapt":
		return fmt.Sprintf(leaptPerhapsLost, d.Tap)
	case kind == ValuesPaused:
		return fmt.Sprintf(stoodPerhapsLost, d.Tap, unit.FormatDuration(d.ForNS))
	case kind == ValuesMoving && d.ForNS == 0:
		return d.Tap + ": the heartbeat beats"
	case kind == ValuesMoving:
		return fmt.Sprintf("%s: values move again, after %s", d.Tap, unit.FormatDuration(d.ForNS))
	}
	switch d.Because {
	case "leapt":
		return fmt.Sprintf(lostAndLeapt, d.Tap, unit.FormatDuration(d.ForNS))
	case "stirred":
		return fmt.Sprintf(lostInMotion, d.Tap, unit.FormatDuration(d.ForNS))
	}
	return fmt.Sprintf(lostHeartbeat, d.Tap, unit.FormatDuration(d.ForNS))
}

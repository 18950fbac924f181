package say

import (
	"fmt"

	"benchproof.example/monitor/fact"
)

// controlsSentence tells of what a control or its values did; "" for what is none.
func controlsSentence(e *fact.Event, _ string) string {
	switch d := e.Data.(type) {
	case fact.GestureData:
		return fmt.Sprintf("%s: the movement that sets it off was made, %d times within %s", d.Gesture, d.Times, FormatSpan(d.SpanNS))
	case fact.TravelClippedData:
		return clippedSentence(e.Kind, &d)
	case fact.ValuesStillData:
		return stillSentence(e.Kind, &d)
	case fact.ValueSpikedData:
		return fmt.Sprintf("channel %d left %s for %s, as far as %s, and came back", d.Channel, FormatWidth(d.FromNS), frames(int64(d.Frames)), FormatWidth(d.ToNS))
	case fact.GainSweptData:
		return fmt.Sprintf("gain turned from %s to %s, between %s and %s", FormatWidth(d.FromNS), FormatWidth(d.ToNS), FormatWidth(d.LeastNS), FormatWidth(d.MostNS))
	}
	return ""
}

func clippedSentence(kind string, d *fact.TravelClippedData) string {
	switch {
	case d.Short:
		return fmt.Sprintf("channel %d stood flat at %s for %s, between coming and leaving at a steady pace", d.Channel, FormatWidth(d.WidthNS), FormatSpan(d.DwellNS))
	case kind == fact.TravelFree:
		return fmt.Sprintf("channel %d left the end of the bus's range", d.Channel)
	}
	return fmt.Sprintf("channel %d stands at %d counts, an end of the bus's range", d.Channel, d.Count)
}

func stillSentence(kind string, d *fact.ValuesStillData) string {
	switch {
	case kind == fact.ValuesPaused && d.Because == "leapt":
		return fmt.Sprintf("%s: many channels leapt in one frame: a flight phase, another model, presets or a loss, can't be told", d.Tap)
	case kind == fact.ValuesPaused:
		return fmt.Sprintf("%s: the sticks stopped in full motion and stood still for %s: a pause or a loss, can't be told", d.Tap, FormatSpan(d.ForNS))
	case kind == fact.ValuesMoving && d.ForNS == 0:
		return d.Tap + ": the heartbeat beats"
	case kind == fact.ValuesMoving:
		return fmt.Sprintf("%s: values move again, after %s", d.Tap, FormatSpan(d.ForNS))
	}
	switch d.Because {
	case "leapt":
		return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: many channels leapt in one frame, and back after %s", d.Tap, FormatSpan(d.ForNS))
	case "stirred":
		return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: sticks froze in motion for %s, and leapt", d.Tap, FormatSpan(d.ForNS))
	}
	return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: the heartbeat has stood for %s", d.Tap, FormatSpan(d.ForNS))
}

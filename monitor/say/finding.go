package say

import (
	"fmt"

	"benchproof.example/monitor/fact"
)

// finding tells of what a control or its values did; "" for what is none.
func finding(e *fact.Event, _ string) string {
	switch d := e.Data.(type) {
	case fact.GestureData:
		return fmt.Sprintf("%s: the movement that sets it off was made, %d times within %s", d.Gesture, d.Times, Span(d.SpanNS))
	case fact.ClipData:
		return clip(e.Kind, &d)
	case fact.StillData:
		return still(e.Kind, &d)
	case fact.SpikeData:
		return fmt.Sprintf("channel %d left %s for %s, as far as %s, and came back", d.Channel, Width(d.FromNS), frames(int64(d.Frames)), Width(d.ToNS))
	case fact.SweepData:
		return fmt.Sprintf("gain turned from %s to %s, between %s and %s", Width(d.FromNS), Width(d.ToNS), Width(d.LeastNS), Width(d.MostNS))
	}
	return ""
}

func clip(kind string, d *fact.ClipData) string {
	switch {
	case d.Short:
		return fmt.Sprintf("channel %d stood flat at %s for %s, between coming and leaving at a steady pace", d.Channel, Width(d.WidthNS), Span(d.DwellNS))
	case kind == fact.TravelFree:
		return fmt.Sprintf("channel %d left the end of the bus's range", d.Channel)
	}
	return fmt.Sprintf("channel %d stands at %d counts, an end of the bus's range", d.Channel, d.Count)
}

func still(kind string, d *fact.StillData) string {
	switch {
	case kind == fact.ValuesPaused && d.Because == "leapt":
		return fmt.Sprintf("%s: many channels leapt in one frame: a flight phase, another model, presets or a loss, can't be told", d.Tap)
	case kind == fact.ValuesPaused:
		return fmt.Sprintf("%s: the sticks stopped in full motion and stood still for %s: a pause or a loss, can't be told", d.Tap, Span(d.ForNS))
	case kind == fact.ValuesMoving && d.ForNS == 0:
		return d.Tap + ": the heartbeat beats"
	case kind == fact.ValuesMoving:
		return fmt.Sprintf("%s: values move again, after %s", d.Tap, Span(d.ForNS))
	}
	switch d.Because {
	case "leapt":
		return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: many channels leapt in one frame, and back after %s", d.Tap, Span(d.ForNS))
	case "stirred":
		return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: sticks froze in motion for %s, and leapt", d.Tap, Span(d.ForNS))
	}
	return fmt.Sprintf("%s: A LOSS WITHOUT A FLAG, it seems: the heartbeat has stood for %s", d.Tap, Span(d.ForNS))
}

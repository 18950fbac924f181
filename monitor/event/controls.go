package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// The kinds of event of switches, sticks, knobs and the values of their channels.
const (
	SwitchMoved   = "switch.moved"
	ModeAsked     = "mode.asked"
	ValuesJumped  = "values.jumped"
	ValuesStill   = "values.still"
	ValuesMoving  = "values.moving"
	ValuesPaused  = "values.paused"
	ValueSpiked   = "value.spiked"
	GainSwept     = "gain.swept"
	GestureMade   = "gesture.made"
	TravelClipped = "travel.clipped"
	TravelFree    = "travel.free"
	ChannelsHeard = "channels.heard"
	ChannelMoved  = "channel.moved"
)

var controlKinds = []Row{
	troubleIf(func(d SwitchData) bool { return !d.Within },
		row(SwitchMoved, "switch:NAME", "A switch stands at a position: first seen, or moved there.", switchSentence)),
	troubleIf(func(d ModeData) bool { return d.Mode == "" && !d.Passing },
		row(ModeAsked, "stabiliser", "The bus asks for a mode, or passed through one.", modeSentence)),
	row(ValuesJumped, "tap:NAME", "Many channels leapt in one frame, or over a stretch that was not heard, and then stood still, "+
		"as a receiver's presets do: what they reached proves nothing until channels move singly again.", jumpSentence),
	trouble(row(ValuesStill, "tap:NAME", "Every value stood identical although something is known to move.", stillSentence)),
	row(ValuesMoving, "tap:NAME", "They move again; also, once, that the heartbeat was seen to beat.", stillSentence),
	row(ValuesPaused, "tap:NAME", "They stood, or leapt, as in a loss without flags, and a hand may have done that as well: "+
		"it accuses nobody.", stillSentence),
	trouble(row(ValueSpiked, "channel:N", "A channel left its value for one to three frames and came back to it.", spikeSentence)),
	row(GainSwept, "channel:N", "The gain channel moved and came to rest.", sweepSentence),
	row(GestureMade, "gesture:NAME", "A channel went from one place to another and back, as often and as fast as the sheet "+
		"says that a receiver waits for.", gestureSentence),
	row(TravelClipped, "channel:N", "A channel stands at a rail of the bus, 0 or 2047 counts, where it can go no further, or "+
		"stood flat while its stick went on.", clippedSentence),
	row(TravelFree, "channel:N", "It does no more.", clippedSentence),
	row(ChannelsHeard, "tap:NAME", "Which channels come in, where the sheet has none: once the port is open and a transmitter is live.",
		heardSentence),
	atMoment(row(ChannelMoved, "channel:N", "A channel moved and came to rest, or has moved for five seconds, or moved when listening "+
		"ended, where the sheet has no channels.", movedSentence)),
}

// GestureData belongs to gesture.made: a channel went from one place to another
// and back, as often and as fast as the sheet says a receiver waits for.
type GestureData struct {
	Tap     string        `json:"tap"`
	Gesture string        `json:"gesture"`
	Times   int           `json:"times"`
	SpanNS  unit.Duration `json:"span_ns"` // from the first departure to the last return
	Signal  Signal        `json:"signal"`
	Suspect bool          `json:"suspect,omitempty"`
	InDrill bool          `json:"in_drill,omitempty"` // the drill for it was under way
}

// TravelClippedData belongs to travel.clipped and travel.free: a channel stands at a rail
// of the bus, 0 or 2047 counts, where it can go no further, or stood flat while
// its stick went on.
type TravelClippedData struct {
	Tap     string        `json:"tap"`
	Channel int           `json:"channel"`
	Count   int64         `json:"count"`
	WidthNS unit.Width    `json:"width_ns"`
	DwellNS unit.Duration `json:"dwell_ns"`
	Signal  Signal        `json:"signal"`
	Short   bool          `json:"short,omitempty"` // not at a rail, and short of the sheet's end: a limit, or a stop of the stick
	Again   bool          `json:"again,omitempty"` // short: for the second time at least, to the count
}

// GainSweptData belongs to gain.swept: the gain channel moved and came to rest.
type GainSweptData struct {
	Tap     string     `json:"tap"`
	Channel int        `json:"channel"`
	FromNS  unit.Width `json:"from_ns"` // width where it rested before
	ToNS    unit.Width `json:"to_ns"`   // where it rests now
	LeastNS unit.Width `json:"least_ns"`
	MostNS  unit.Width `json:"most_ns"`
	Signal  Signal     `json:"signal"`
	Suspect bool       `json:"suspect,omitempty"`
}

func clippedSentence(e *Event, _ string, d *TravelClippedData) string {
	switch {
	case d.Short:
		return fmt.Sprintf("channel %d stood flat at %s for %s, between coming and leaving at a steady pace",
			d.Channel, unit.FormatWidth(d.WidthNS), unit.FormatDuration(d.DwellNS))
	case e.Kind == TravelFree:
		return fmt.Sprintf("channel %d left the end of the bus's range", d.Channel)
	}
	return fmt.Sprintf("channel %d stands at %d counts, an end of the bus's range", d.Channel, d.Count)
}

func gestureSentence(_ *Event, _ string, d *GestureData) string {
	return fmt.Sprintf("%s: the movement that sets it off was made, %d times within %s", d.Gesture, d.Times, unit.FormatDuration(d.SpanNS))
}

func sweepSentence(_ *Event, _ string, d *GainSweptData) string {
	return fmt.Sprintf("gain turned from %s to %s, between %s and %s", unit.FormatWidth(d.FromNS),
		unit.FormatWidth(d.ToNS), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
}

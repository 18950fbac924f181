package event

import "benchproof.example/monitor/unit"

// The kinds of event that claims rest on beyond what the link and the switches
// do, and their data.
const (
	GestureMade     = "gesture.made"     // GestureData
	TravelClipped   = "travel.clipped"   // TravelClippedData
	TravelFree      = "travel.free"      // TravelClippedData
	ValuesStill     = "values.still"     // ValuesStillData
	ValuesMoving    = "values.moving"    // ValuesStillData
	ValuesPaused    = "values.paused"    // ValuesStillData
	ValueSpiked     = "value.spiked"     // ValueSpikedData
	GainSwept       = "gain.swept"       // GainSweptData
	FailsafeSettled = "failsafe.settled" // FailsafeSettledData
	Reopened        = "reopened"         // ReopenData
	VerdictChanged  = "verdict.changed"  // VerdictData
)

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

// ValuesStillData belongs to values.still and values.moving: every value stood
// identical although something is known to move. values.moving also reports, once,
// that the heartbeat was seen to beat. values.paused: they stood, or leapt, as in a
// loss without flags, and a hand may have done that as well.
type ValuesStillData struct {
	Tap     string        `json:"tap"`
	ForNS   unit.Duration `json:"for_ns"`
	Because string        `json:"because"` // "heartbeat": it stopped; "stirred": a stick was moving and froze; "leapt": many channels leapt in one frame
}

// ValueSpikedData belongs to value.spiked: a channel left its value for one to three
// frames and came back to it.
type ValueSpikedData struct {
	Tap     string     `json:"tap"`
	Channel int        `json:"channel"`
	FromNS  unit.Width `json:"from_ns"` // width before and after
	ToNS    unit.Width `json:"to_ns"`   // farthest width in between
	Frames  int        `json:"frames"`
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

// ReopenData belongs to reopened: what is to be seen anew, a channel's name,
// "failsafe" or "everything".
type ReopenData struct {
	What string `json:"what"`
}

// VerdictData belongs to verdict.changed.
type VerdictData struct {
	Verdict  string           `json:"verdict"` // open, seen right, seen wrong, stale
	Was      string           `json:"was"`
	Sentence string           `json:"sentence"`
	Evidence []Span           `json:"evidence"`
	Figures  map[string]int64 `json:"figures"`
}

// Span is a stretch of bench time.
type Span struct {
	From unit.Time `json:"from_ns"`
	To   unit.Time `json:"to_ns"`
}

// FailsafeSettledData belongs to failsafe.settled: what the receiver does with each
// channel in a flagged failsafe.
type FailsafeSettledData struct {
	Tap      string        `json:"tap"`
	LiveNS   unit.Time     `json:"live_ns"`   // wire time of the last live frame, -1: not known
	StandsNS unit.Duration `json:"stands_ns"` // for how long the values have stood
	Was      []unit.Width  `json:"was_ns"`    // widths of channels 1 to 16 in the last live frame
	Now      []unit.Width  `json:"now_ns"`    // and now
}

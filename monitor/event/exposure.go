package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// ChangedMark is the mark with which the builder says that the set-up was changed.
const ChangedMark = "I changed something"

// ExposureData belongs to bus.watched. Only a live link counts, in frames that may be
// believed: nothing before the first link, in a loss, in a silence, after a jump of
// many channels, or of what was delivered late.
type ExposureData struct {
	Tap       string        `json:"tap"`
	LiveNS    unit.Duration `json:"live_ns"`    // between believed frames, 100 ms apart at most; every channel is in each of them
	MovingNS  unit.Duration `json:"moving_ns"`  // of that: some channel moved, the heartbeat left out; pauses under a second included
	Spells    int64         `json:"spells"`     // of movement, without a pause of a second
	BeatingNS unit.Duration `json:"beating_ns"` // of that: the heartbeat was known to beat
	Moved     []int         `json:"moved"`      // channels of the sheet that stood at two levels, 20 µs apart or more
	LinkFigures
}

// LinkFigures is what a live link heard of its transmitter, since the stretch began.
type LinkFigures struct {
	LinkFrames int64         `json:"link_frames,omitempty"` // undamaged frames
	LinkMissed int64         `json:"link_missed,omitempty"` // of these, flagged as not heard, between live frames
	LinkNS     unit.Duration `json:"link_ns,omitempty"`     // the time that they took
}

// exposureSentence reports how much of what was heard could have shown a fault.
func exposureSentence(_ *Event, name string, d *ExposureData) string {
	text := fmt.Sprintf("%s: heard live for %s, with %s of known movement (%d spells)", name, unit.FormatDuration(d.LiveNS),
		unit.FormatDuration(d.MovingNS), d.Spells)
	if d.BeatingNS > 0 {
		text += fmt.Sprintf(", the heartbeat beat for %s", unit.FormatDuration(d.BeatingNS))
	}
	return text + fmt.Sprintf("; missed %d of %s of a live link", d.LinkMissed, frames(d.LinkFrames))
}

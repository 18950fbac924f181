package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// JumpData belongs to values.jumped: many channels leapt in one frame, or over a stretch that
// was not heard, and then stood still, as a receiver's presets do.
type JumpData struct {
	Tap      string   `json:"tap"`
	Channels []int    `json:"channels"` // numbers from 1
	From     []uint32 `json:"from"`     // counts
	To       []uint32 `json:"to"`
	Signal   Signal   `json:"signal"`
	Unseen   bool     `json:"unseen,omitempty"` // they may have, in a stretch that was not heard or was read late
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

// What the screen says of values that stood.
const (
	leaptPerhapsLost = "%s: many channels leapt in one frame: a flight phase, another model, presets or a loss, can't " +
		"be told"
	stoodPerhapsLost = "%s: the sticks stopped in full motion and stood still for %s: a pause or a loss, can't be told"
	lostAndLeapt     = "%s: A LOSS WITHOUT A FLAG, it seems: many channels leapt in one frame, and back after %s"
	lostInMotion     = "%s: A LOSS WITHOUT A FLAG, it seems: sticks froze in motion for %s, and leapt"
	lostHeartbeat    = "%s: A LOSS WITHOUT A FLAG, it seems: the heartbeat has stood for %s"
)

func stillSentence(e *Event, _ string, d *ValuesStillData) string {
	switch {
	case e.Kind == ValuesPaused && d.Because == "leapt":
		return fmt.Sprintf(leaptPerhapsLost, d.Tap)
	case e.Kind == ValuesPaused:
		return fmt.Sprintf(stoodPerhapsLost, d.Tap, unit.FormatDuration(d.ForNS))
	case e.Kind == ValuesMoving && d.ForNS == 0:
		return d.Tap + ": the heartbeat beats"
	case e.Kind == ValuesMoving:
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

func numberList(n []int) string {
	s := make([]string, 0, len(n))
	for _, v := range n {
		s = append(s, fmt.Sprint(v))
	}
	return strings.Join(s, ", ")
}

func jumpSentence(_ *Event, _ string, d *JumpData) string {
	if d.Unseen {
		return fmt.Sprintf("%s: behind a stretch that was not heard channels %s stand elsewhere, as if they had leapt at once, to presets or back; "+
			"what they reached proves nothing yet", d.Tap, numberList(d.Channels))
	}
	return fmt.Sprintf("%s: channels %s leapt at once and stand still, as presets do; what they reached proves nothing yet", d.Tap, numberList(d.Channels))
}

func spikeSentence(_ *Event, _ string, d *ValueSpikedData) string {
	return fmt.Sprintf("channel %d left %s for %s, as far as %s, and came back",
		d.Channel, unit.FormatWidth(d.FromNS), frames(int64(d.Frames)), unit.FormatWidth(d.ToNS))
}

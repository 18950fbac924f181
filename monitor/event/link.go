package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// The kinds of event of the link between transmitter and receiver.
const (
	FailsafeEntered = "failsafe.entered"
	FailsafeLeft    = "failsafe.left"
	LinkLost        = "link.lost"
	LinkRestored    = "link.restored"
	FailsafeSettled = "failsafe.settled"
	LossMeasured    = "loss.measured"
	LossOutputs     = "loss.outputs"
	PowerUpMeasured = "powerup.measured"
	MemoryTried     = "memory.tried"
)

var linkKinds = []Row{
	troubleIf(func(d FailsafeData) bool { return !d.BeforeLink },
		row(FailsafeEntered, "tap:NAME", "The receiver set its failsafe flag.", failsafeSentence)),
	row(FailsafeLeft, "tap:NAME", "The flag is gone; before the first link: the link is up.", failsafeSentence),
	trouble(row(LinkLost, "tap:NAME", "No live frame for half a second, by the flags, and no failsafe flag yet.", linkSentence)),
	row(LinkRestored, "tap:NAME", "Live frames again, where no failsafe flag stood.", linkSentence),
	row(FailsafeSettled, "tap:NAME", "What the receiver does with each channel in a flagged failsafe.", settledSentence),
	row(LossMeasured, "tap:NAME", "What the receiver did when the signal was lost, and how it came back; reported when it "+
		"is over. Its onset is the last frame known live.", lossSentence),
	row(LossOutputs, "tap:NAME", "What the outputs did then, of the tap of the leads.", lossOutputsSentence),
	row(MemoryTried, "tap:NAME", "What a receiver did while another model memory was selected in the transmitter, and whether the bus showed that one was.",
		memorySentence),
	row(PowerUpMeasured, "tap:NAME", "What a receiver sent that was switched on without its transmitter.", powerUpSentence),
}

// Signal says whose values a frame carried.
type Signal string

// The signals.
const (
	SignalLive     Signal = "live"     // the receiver heard the transmitter
	SignalMissed   Signal = "missed"   // frames are flagged as lost
	SignalLost     Signal = "lost"     // they have been for half a second or more
	SignalFailsafe Signal = "failsafe" // the receiver acts on its own
)

// FailsafeData belongs to failsafe.entered and failsafe.left.
type FailsafeData struct {
	// LiveNS is the wire time of the last frame known live before it (entered)
	// or of the first live frame after it (left). -1: none was seen yet; left,
	// frames then still say that they are missed.
	LiveNS unit.Time `json:"live_ns"`
	// AfterNS is from the last live frame to the first frame with the flag
	// (entered), or how long the flag stood (left). -1: unknown; entered, no frame
	// was flagged as lost before, so nothing shows which one was the last live.
	AfterNS unit.Duration `json:"after_ns"`
	// BeforeLink says that no live frame was seen before: neither proof nor fault.
	BeforeLink bool `json:"before_link,omitempty"`
	// AfterSilence says that one was seen, but the line was silent since: the receiver
	// may have begun anew.
	AfterSilence bool `json:"after_silence,omitempty"`
	// Again says that the flag stood before, and no live frame came since: the same
	// failsafe.
	Again bool `json:"again,omitempty"`
}

// LinkData belongs to link.lost and link.restored.
type LinkData struct {
	LiveNS unit.Time     `json:"live_ns"` // wire time of the last live frame (lost) or of the first one again
	LostNS unit.Duration `json:"lost_ns"` // from the last live frame to the latest frame (lost) or to the first live one
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
func linkSentence(e *Event, name string, d *LinkData) string {
	if e.Kind == LinkLost {
		return fmt.Sprintf("%s: NO LIVE FRAME SINCE %s, the receiver flags each as lost", name, unit.FormatClock(d.LiveNS))
	}
	return fmt.Sprintf("%s: LIVE AGAIN, after %s without a live frame", name, unit.FormatDuration(d.LostNS))
}

// settledSentence says where the values went in a failsafe.
func settledSentence(_ *Event, _ string, d *FailsafeSettledData) string {
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

func whoseDoing(s Signal, suspect bool) string {
	switch {
	case s == SignalFailsafe:
		return " (the receiver's doing: failsafe)"
	case suspect:
		return " (many channels leapt at once: perhaps a preset)"
	case s == SignalMissed:
		return " (the receiver misses the transmitter)"
	}
	return ""
}

package event

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/unit"
)

// The kinds of event of a tap's port and its line.
const (
	TapUp         = "tap.up"
	TapDown       = "tap.down"
	TapOverrun    = "tap.overrun"
	BusLocked     = "bus.locked"
	BusSilent     = "bus.silent"
	BusLate       = "bus.late"
	BusExposure   = "bus.watched"
	PeriodChanged = "period.changed"
	AirMissed     = "air.missed"
	WireGap       = "wire.gap"
	WireDamaged   = "wire.damaged"
)

var tapKinds = []Row{
	row(TapUp, "tap:NAME", "A port can be read.", func(_ *Event, name string, d *PortData) string {
		return fmt.Sprintf("%s: listening on %s (%s)", name, d.Port, portState(d))
	}),
	trouble(row(TapDown, "tap:NAME", "It is gone; it is waited for.",
		func(_ *Event, name string, d *ReasonData) string { return name + ": " + d.Why })),
	trouble(row(TapOverrun, "tap:NAME", "The port lost characters before they were read.", func(_ *Event, name string, d *CountData) string {
		return fmt.Sprintf("%s: the port lost %d characters", name, d.Count)
	})),
	row(BusLocked, "tap:NAME", "Frames are being read.", lockedSentence),
	trouble(row(BusSilent, "tap:NAME", "None come any more; its onset is the last frame.", func(_ *Event, name string, d *SilentData) string {
		if d.Never {
			return fmt.Sprintf("%s: SILENT, no frame has come for %s, since listening began", name, unit.FormatDuration(d.LimitNS))
		}
		return fmt.Sprintf("%s: SILENT, no frame for %s", name, unit.FormatDuration(d.LimitNS))
	})),
	troubleIf(func(d LateData) bool { return !d.Opened },
		row(BusLate, "tap:NAME", "Frames that were read long after they were on the wire, at once: the computer stood still. "+
			"Its onset is the last frame before them. They are not judged.", lateSentence)),
	offScreen(row(BusExposure, "tap:NAME", "At the end of a stretch of listening: how much of it could have shown a fault, "+
		"the exposure on which rests that something never happened. Only a live link counts, in frames that may be "+
		"believed. Its onset is the first live frame that counts.", exposureSentence)),
	row(PeriodChanged, "tap:NAME", "The time from frame to frame is known, or another one.", func(_ *Event, name string, d *PeriodData) string {
		return name + ": " + periodSentence("frame", d)
	}),
	trouble(row(AirMissed, "tap:NAME", "Frames that the receiver flagged: it did not hear the transmitter.", framesMissingSentence)),
	trouble(row(WireGap, "tap:NAME", "Frames that never came on the wire.", framesMissingSentence)),
	lineFaultKind,
	trouble(row(WireDamaged, "tap:NAME", "A run of damage on the wire: bad characters, or bytes that are part of no frame.", damageSentence)),
}

// PortData belongs to tap.up.
type PortData = Port

// ReasonData belongs to tap.down.
type ReasonData struct {
	Why string `json:"why"`
}

// CountData belongs to tap.overrun: characters the port lost.
type CountData struct {
	Count int64 `json:"count"`
}

// LockedData belongs to bus.locked: frames are being read.
type LockedData struct {
	SilentNS unit.Duration `json:"silent_ns"` // how long none had been; 0 for the first
}

// SilentData belongs to bus.silent; its onset is the last frame.
type SilentData struct {
	LimitNS unit.Duration `json:"limit_ns"`          // the wait that was long enough to say so
	Never   bool          `json:"never,omitempty"`   // nothing has come yet: no frame of a bus, no line of a capture board
	Refused int64         `json:"refused,omitempty"` // bytes that came meanwhile and are no line of it
}

// LateData belongs to bus.late: frames that were read long after they were on the
// wire, at once. Its onset is the last frame before them.
type LateData struct {
	Frames   int64         `json:"frames"`
	SilentNS unit.Duration `json:"silent_ns"`        // how long none had been read before; opened: since the tap came up
	Opened   bool          `json:"opened,omitempty"` // they lay waiting when the tap was opened
}

// PeriodData belongs to period.changed.
type PeriodData struct {
	PeriodNS unit.Duration `json:"period_ns"`
	WasNS    unit.Duration `json:"was_ns"` // 0: none known before
}

// FramesMissingData belongs to air.missed (frames that the receiver flagged as not heard)
// and wire.gap (frames that never came).
type FramesMissingData struct {
	Frames int64         `json:"frames"`
	SpanNS unit.Duration `json:"span_ns"` // air.missed: first to last flagged frame; wire.gap: from the frame before to the frame after

	// Of air.missed alone.
	Runs        int64         `json:"runs,omitempty"`       // reported together, where runs follow one another; left out: one
	LongestNS   unit.Duration `json:"longest_ns,omitempty"` // the longest of them
	Loss        bool          `json:"loss,omitempty"`       // part of a loss, or before a silence or the end: missed by no live link
	LinkFigures               // so far, with these
}

// DamageData belongs to wire.damaged: a run of damage on the wire.
type DamageData struct {
	BadFrames int64            `json:"bad_frames"` // frames with a character marked bad
	Refused   map[string]int64 `json:"refused"`    // bytes refused, by reason
	SpanNS    unit.Duration    `json:"span_ns"`
}

// What the screen says of frames that came late.
const (
	layWaiting    = "%s: %s lay waiting when listening began and came at once; they have no dates of their own"
	deliveredLate = "%s: %s DELIVERED LATE, after %s without any: the computer or its adapter stood still; what came in " +
		"that time has no dates of its own"
)

func lateSentence(_ *Event, name string, d *LateData) string {
	if d.Opened {
		return fmt.Sprintf(layWaiting, name, frames(d.Frames))
	}
	return fmt.Sprintf(deliveredLate, name, frames(d.Frames), unit.FormatDuration(d.SilentNS))
}

func lockedSentence(_ *Event, name string, d *LockedData) string {
	if d.SilentNS > 0 {
		return fmt.Sprintf("%s: frames again, after %s", name, unit.FormatDuration(d.SilentNS))
	}
	return name + ": frames are coming in"
}

func portState(d *PortData) string {
	parts := []string{d.Settings}
	if d.Latency != "" && d.Latency != "unknown" {
		parts = append(parts, "latency "+d.Latency)
	}
	if d.Errors != "" {
		parts = append(parts, d.Errors)
	}
	return strings.Join(parts, ", ")
}

func framesMissingSentence(e *Event, name string, d *FramesMissingData) string {
	if e.Kind == AirMissed {
		text := fmt.Sprintf("%s: the receiver missed the transmitter, %s flagged in %s", name, frames(d.Frames), unit.FormatDuration(d.SpanNS))
		switch {
		case d.Loss:
			return text + ", and lost it or fell silent"
		case d.Runs > 0:
			return text + fmt.Sprintf(", %s, the longest %s", runs(d.Runs), unit.FormatDuration(d.LongestNS))
		}
		return text
	}
	return fmt.Sprintf("%s: %s never came, the bus left a gap of %s", name, frames(d.Frames), unit.FormatDuration(d.SpanNS))
}

func damageSentence(_ *Event, name string, d *DamageData) string {
	parts := []string{}
	if d.BadFrames > 0 {
		parts = append(parts, frames(d.BadFrames)+" with a bad character")
	}
	reasons := make([]string, 0, len(d.Refused))
	for r := range d.Refused {
		reasons = append(reasons, r)
	}
	slices.Sort(reasons)
	for _, r := range reasons {
		parts = append(parts, fmt.Sprintf("%d bytes refused (%s)", d.Refused[r], refusal(r)))
	}
	return fmt.Sprintf("%s: damage on the wire within %s: %s", name, unit.FormatDuration(d.SpanNS), strings.Join(parts, ", "))
}

// refusals say in words why bytes are part of no frame.
var refusals = map[string]string{
	"no-header":   "no-header: no frame begins with them",
	"no-footer":   "no-footer: a frame begins, but does not end as it must",
	"unconfirmed": "unconfirmed: as one frame, without another before or behind it",
	"cut-off":     "cut-off: in the middle of a frame nothing more came",
	"bad-sum":     "bad-sum: the checksum is another one",
}

func refusal(reason string) string {
	if words := refusals[reason]; words != "" {
		return words
	}
	return reason
}

func frames(n int64) string {
	if n == 1 {
		return "1 frame"
	}
	return fmt.Sprintf("%d frames", n)
}

func runs(n int64) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}

// periodSentence says how often something comes.
func periodSentence(what string, d *PeriodData) string {
	if d.WasNS == 0 {
		return fmt.Sprintf("a %s every %s", what, unit.FormatDuration(d.PeriodNS))
	}
	return fmt.Sprintf("a %s every %s now, every %s before", what, unit.FormatDuration(d.PeriodNS), unit.FormatDuration(d.WasNS))
}

package event

import "benchproof.example/monitor/unit"

// Event is one dated fact. The ordered events of a session are its timeline.
type Event struct {
	Seq   int64     // from 1, without holes
	At    unit.Time // when it became a fact; never decreasing
	From  unit.Time // its onset, at or before At
	Kind  string    // one of the kinds below
	About string    // what it is about: "tap:main", "switch:inner", "stabiliser", "session", ...
	Data  any       // the struct named beside the kind; nil for none
}

// Emit hands an event to the bench, which numbers and dates it.
type Emit func(kind string, from unit.Time, about string, data any)

// The kinds of event and their data.
const (
	SessionBegan   = "session.began"   // SessionData
	SessionResumed = "session.resumed" // SessionData
	SessionEnded   = "session.ended"   // nil
	ClockStepped   = "clock.stepped"   // ClockData
	Mark           = "mark"            // MarkData
	RecordingGap   = "recording.gap"   // RecordingGapData

	TapUp         = "tap.up"         // PortData
	TapDown       = "tap.down"       // ReasonData
	TapOverrun    = "tap.overrun"    // CountData
	BusLocked     = "bus.locked"     // LockedData
	BusSilent     = "bus.silent"     // SilentData
	BusLate       = "bus.late"       // LateData
	AirMissed     = "air.missed"     // FramesMissingData
	WireGap       = "wire.gap"       // FramesMissingData
	WireDamaged   = "wire.damaged"   // DamageData
	PeriodChanged = "period.changed" // PeriodData

	FailsafeEntered = "failsafe.entered" // FailsafeData
	FailsafeLeft    = "failsafe.left"    // FailsafeData
	LinkLost        = "link.lost"        // LinkData: no live frame for half a second, by the flags
	LinkRestored    = "link.restored"    // LinkData: live frames again, where no failsafe flag stood

	SwitchMoved  = "switch.moved"  // SwitchData
	ModeAsked    = "mode.asked"    // ModeData
	ValuesJumped = "values.jumped" // JumpData
)

// SessionData belongs to session.began and session.resumed.
type SessionData struct {
	Model string    `json:"model"`
	Build string    `json:"build"` // what heard it; the byte-for-byte promise holds for one build
	Taps  []TapName `json:"taps"`
}

// ClockData belongs to clock.stepped: the wall clock was set, as two beats in a row
// say; from the first of them.
type ClockData struct {
	StepNS unit.Duration `json:"step_ns"` // forward is positive
}

// MarkData belongs to mark.
type MarkData struct {
	Text string `json:"text"`
}

// RecordingGapData belongs to recording.gap.
type RecordingGapData struct {
	Ended  bool   `json:"ended"`
	Why    string `json:"why"`
	Inputs int64  `json:"inputs"` // how many inputs the recording lacks, 0 while unknown
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
	Never   bool          `json:"never,omitempty"`   // of a capture board: no line of it has come yet
	Refused int64         `json:"refused,omitempty"` // bytes that came meanwhile and are no line of it
}

// LateData belongs to bus.late: frames that were read long after they were on the
// wire, at once. Its onset is the last frame before them.
type LateData struct {
	Frames   int64         `json:"frames"`
	SilentNS unit.Duration `json:"silent_ns"`        // how long none had been read before; opened: since the tap came up
	Opened   bool          `json:"opened,omitempty"` // they lay waiting when the tap was opened
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

// PeriodData belongs to period.changed.
type PeriodData struct {
	PeriodNS unit.Duration `json:"period_ns"`
	WasNS    unit.Duration `json:"was_ns"` // 0: none known before
}

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

// Signal says whose values a frame carried.
type Signal string

// The signals.
const (
	SignalLive     Signal = "live"     // the receiver heard the transmitter
	SignalMissed   Signal = "missed"   // frames are flagged as lost
	SignalLost     Signal = "lost"     // they have been for half a second or more
	SignalFailsafe Signal = "failsafe" // the receiver acts on its own
)

// SwitchData belongs to switch.moved.
type SwitchData struct {
	Tap     string     `json:"tap"`
	To      string     `json:"to"`
	Was     string     `json:"was,omitempty"` // empty: first seen
	WidthNS unit.Width `json:"width_ns"`
	OffNS   unit.Width `json:"off_ns"` // from where the sheet puts the position
	Within  bool       `json:"within"` // the tolerance for positions
	Signal  Signal     `json:"signal"`
	Suspect bool       `json:"suspect,omitempty"` // after a jump of many channels: proves nothing yet
}

// A mode that is asked for is passed through, or stands.
const (
	MinModeFrames  = 4                      // live frames that must ask for a mode; fewer touch nothing
	ModeSettleTime = 150 * unit.Millisecond // at rest for this long it is no passing any more: longer than a lever passes through its middle
)

// ModeData belongs to mode.asked.
type ModeData struct {
	Tap     string                `json:"tap"`
	Mode    string                `json:"mode"` // "" where no cell covers the widths: no mode
	Was     string                `json:"was,omitempty"`
	Passing bool                  `json:"passing"` // left again before it settled
	DwellNS unit.Duration         `json:"dwell_ns"`
	Widths  map[string]unit.Width `json:"widths_ns"` // of the channels that choose the mode
	Signal  Signal                `json:"signal"`
	Suspect bool                  `json:"suspect,omitempty"`
}

// JumpData belongs to values.jumped: many channels leapt in one frame and then
// stood still, as a receiver's presets do.
type JumpData struct {
	Tap      string   `json:"tap"`
	Channels []int    `json:"channels"` // numbers from 1
	From     []uint16 `json:"from"`     // counts
	To       []uint16 `json:"to"`
	Signal   Signal   `json:"signal"`
}

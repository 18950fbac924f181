package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// LossData belongs to loss.measured. Times are from the last frame known live,
// since switching off is not on the wire; -1: it never came, or is not known.
type LossData struct {
	Tap   string `json:"tap"`
	Drill string `json:"drill,omitempty"` // name of the drill under way, "" for none

	Class LossClass `json:"class"` // of all channels together
	Flag  FlagClass `json:"flag"`

	// DatedBy is how the last live frame is known: flags, heartbeat, stirred, leapt, builder (said
	// so), unknown (the failsafe flag came without a frame flagged as lost).
	DatedBy string    `json:"dated_by"`
	LiveNS  unit.Time `json:"live_ns"` // wire time of the last frame known live; with unknown, of the last without a flag
	// DoubtNS is how much earlier the last live frame may have been: few frames without a flag came last,
	// which may be wrong ones.
	DoubtNS    unit.Duration `json:"doubt_ns"`
	UpNS       unit.Duration `json:"up_ns"`       // for how long the link had been up by then, since the bus was heard or the loss before
	LostNS     unit.Duration `json:"lost_ns"`     // to the first frame flagged as lost
	FailsafeNS unit.Duration `json:"failsafe_ns"` // to the first frame with the failsafe flag
	// FlagUnheardNS is by how much earlier the flag may have come: no frame of that time could show it. 0: it is known to a
	// frame or two.
	FlagUnheardNS unit.Duration `json:"flag_unheard_ns,omitempty"`
	SilentNS      unit.Duration `json:"silent_ns"`  // to the last frame before the bus fell silent
	SettledNS     unit.Duration `json:"settled_ns"` // to the last channel coming to rest
	// SettledUnheardNS is by how much earlier that may have been: no frame of that time could show it.
	SettledUnheardNS unit.Duration `json:"settled_unheard_ns,omitempty"`
	Mode             string        `json:"mode"`       // asked for once settled, "" for none of the sheet's
	ModeNS           unit.Duration `json:"mode_ns"`    // to that mode being asked for
	WatchedNS        unit.Duration `json:"watched_ns"` // to the end of what was seen of it
	OnNS             unit.Duration `json:"on_ns"`      // to the builder saying that the transmitter is on again
	BackNS           unit.Duration `json:"back_ns"`    // to the first frame known live again
	// BackUnheardNS is by how much earlier the signal may have been back: no frame of that time could show it.
	BackUnheardNS unit.Duration `json:"back_unheard_ns,omitempty"`
	EndedNS       unit.Duration `json:"ended_ns"` // to the last frame that was heard of it, or of what followed

	Channels []LossChannel `json:"channels"` // 1 to 16
}

// LossChannel is what one channel did.
type LossChannel struct {
	Class     LossClass     `json:"class"`
	WasNS     unit.Width    `json:"was_ns"`     // width in the last live frame
	NowNS     unit.Width    `json:"now_ns"`     // width once settled; silent: the last
	HeldNS    unit.Duration `json:"held_ns"`    // preset: for how long it held before it went there
	SettledNS unit.Duration `json:"settled_ns"` // from the last live frame to coming to rest
}

// MaxPresetDelay is how long after the last live frame a receiver may still go to its
// presets, or elsewhere: receivers that hold for 2 to 4 s behind their failsafe are
// known (from memory). A shorter watch shows no hold.
const MaxPresetDelay = 5 * unit.Second

// LossClass says what a channel, or all of them, did without a signal.
type LossClass string

// The classes.
const (
	LossPreset   LossClass = "preset"    // it went to another width and stayed there
	LossHold     LossClass = "hold"      // it stayed while its stick or switch was known to move, or all did
	LossSilent   LossClass = "silent"    // frames stopped
	LossMixed    LossClass = "mixed"     // as a whole: some of this, some of that
	LossMoving   LossClass = "moving"    // it went on moving: a stabiliser's values, or nothing was lost
	LossUnderWay LossClass = "under way" // it was still moving when this ended
	LossUnclear  LossClass = "unclear"   // it stayed where it stood: that may be a preset or a hold
	LossNone     LossClass = "none"      // as a whole: nothing was lost
)

// FlagClass says what the receiver said of the loss.
type FlagClass string

// The classes of flags.
const (
	FlagClassInTime   FlagClass = "flagged"      // in time by the sheet
	FlagClassLate     FlagClass = "flagged late" // later than the sheet allows
	FlagClassLostOnly FlagClass = "frame lost only"
	FlagClassNever    FlagClass = "never flagged"
)

// Shown reports that the wire showed a loss. Else the builder alone said that the
// transmitter was off: values went on moving, or no flag came, frames went on and each
// value stayed where it stood.
func (d *LossData) Shown() bool {
	onWord := d.DatedBy == "builder" && d.Class == LossUnclear && d.Flag == FlagClassNever
	return d.Class != LossNone && !onWord
}

// What a drill waits for of a loss.
const (
	PhaseLost    = "lost"
	PhaseSettled = "settled"
	PhaseBack    = "back"
)

// lossSentence says in one line what was measured of a loss of the signal.
func lossSentence(_ *Event, name string, d *LossData) string {
	if !d.Shown() {
		return name + ": " + notShownSentence(d)
	}
	did := map[LossClass]string{
		LossPreset: "the receiver went to its presets", LossHold: "the receiver held its last values",
		LossSilent: "the bus fell silent", LossMixed: "the receiver held some values and went to presets with others",
		LossMoving:   "values went on moving",
		LossUnderWay: "values were on their way when the signal was back",
	}[d.Class]
	if did == "" {
		did = "what the receiver does could not be told"
	}
	s := name + ": without a signal " + did + ", " + string(d.Flag)
	if d.FailsafeNS >= 0 && d.DatedBy != "unknown" {
		s += fmt.Sprintf(" (%s after the last live frame)", unit.FormatDuration(d.FailsafeNS))
	}
	if d.BackNS < 0 {
		return s + "; the signal did not come back while this was watched"
	}
	return s + fmt.Sprintf("; back after %s", unit.FormatDuration(d.BackNS))
}

// notShownSentence says what rests on the builder's word alone.
func notShownSentence(d *LossData) string {
	switch {
	case d.Class == LossNone && d.DatedBy == "builder":
		return "the transmitter was said to be off, but values went on moving without a flag: nothing was lost"
	case d.Class == LossNone:
		return "what looked like a loss of the signal was none: values went on moving without a flag"
	}
	return "the transmitter was said to be off, but the wire showed no loss: no flag, no silence, and no value went elsewhere"
}

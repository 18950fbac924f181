package event

import (
	"fmt"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
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

func switchSentence(_ *Event, name string, d *SwitchData) string {
	s := fmt.Sprintf("%s stands at %s, %s", name, d.To, unit.FormatWidth(d.WidthNS))
	if d.Was != "" && d.Was != d.To {
		s = fmt.Sprintf("%s moved from %s to %s, %s", name, d.Was, d.To, unit.FormatWidth(d.WidthNS))
	}
	if !d.Within {
		s += fmt.Sprintf(", %s away from where the sheet puts it", unit.FormatWidth(max(d.OffNS, -d.OffNS)))
	}
	return s + whoseDoing(d.Signal, d.Suspect)
}

func modeSentence(_ *Event, _ string, d *ModeData) string {
	mode := text.ModeName(d.Mode)
	if d.Passing {
		return fmt.Sprintf("passed through %s for %s%s", mode, unit.FormatDuration(max(d.DwellNS, unit.Millisecond)), whoseDoing(d.Signal, d.Suspect))
	}
	return fmt.Sprintf("the bus asks for %s%s", mode, whoseDoing(d.Signal, d.Suspect))
}

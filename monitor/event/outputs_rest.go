package event

import (
	"fmt"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// OutputReachedData belongs to output.reached.
type OutputReachedData struct {
	WidthNS  unit.Width    `json:"width_ns"`  // where it stood
	WantedNS unit.Width    `json:"wanted_ns"` // the end that the sheet wants on that side
	ShortNS  unit.Width    `json:"short_ns"`  // how far it came short of that; less than 0: it went beyond
	Upper    bool          `json:"upper"`     // the wide end
	Mode     string        `json:"mode"`      // asked for meanwhile, "" for none of the sheet's
	ForNS    unit.Duration `json:"for_ns"`    // how long it was looked at
}

// OutputBeyondData belongs to output.beyond.
type OutputBeyondData struct {
	WidthNS  unit.Width    `json:"width_ns"`  // the farthest
	WantedNS unit.Width    `json:"wanted_ns"` // the end that it went beyond
	Upper    bool          `json:"upper"`     // the wide end
	Held     bool          `json:"held"`      // what moves it had stood for half a second: no movement on the way
	Past     []int         `json:"past"`      // channels that stood past their own ends of the sheet meanwhile
	Mode     string        `json:"mode"`
	Pulses   int64         `json:"pulses"`
	ForNS    unit.Duration `json:"for_ns"` // so far
}

// OutputShiftedData belongs to output.shifted.
type OutputShiftedData struct {
	WidthNS  unit.Width    `json:"width_ns"` // where it rests, the middle one of fifty pulses
	WasNS    unit.Width    `json:"was_ns"`   // where it rested before
	AskedNS  unit.Width    `json:"asked_ns"` // of that jump, what its channels ask for by the sheet's weights
	Mode     string        `json:"mode"`     // asked for, "" for none of the sheet's
	WasMode  string        `json:"was_mode"` // before
	Switches []int         `json:"switches"` // channels of switches that stand elsewhere than before
	ApartNS  unit.Duration `json:"apart_ns"` // from the one rest to the other
}

// Shift is the jump, ns, wider being positive.
func (d *OutputShiftedData) Shift() unit.Width { return d.WidthNS - d.WasNS }

// ShiftText is a jump in few words: "12 µs from plain to damping".
func (d *OutputShiftedData) ShiftText() string {
	by := unit.FormatWidth(unit.Abs(d.Shift()))
	if d.Mode == d.WasMode {
		return by + " with " + channelList(d.Switches) + " elsewhere"
	}
	return fmt.Sprintf("%s from %s to %s", by, text.ModeName(d.WasMode), text.ModeName(d.Mode))
}

func reachedSentence(_ *Event, d *OutputReachedData) string {
	how := "as far as is wanted"
	switch {
	case d.ShortNS > 0:
		how = unit.FormatWidth(d.ShortNS) + " short of what is wanted"
	case d.ShortNS < 0:
		how = unit.FormatWidth(-d.ShortNS) + " beyond what is wanted"
	}
	return fmt.Sprintf("stands at %s with all that moves it at its ends, %s%s", unit.FormatWidth(d.WidthNS), how, ofMode(d.Mode))
}

func beyondSentence(_ *Event, d *OutputBeyondData) string {
	how := "on the way"
	if d.Held {
		how = "and what moves it stands"
	}
	return fmt.Sprintf("WENT TO %s, %s beyond the travel that is wanted, in %d pulses, %s%s", unit.FormatWidth(d.WidthNS),
		unit.FormatWidth(unit.Abs(d.WidthNS-d.WantedNS)), d.Pulses, how, ofMode(d.Mode))
}

func shiftedSentence(_ *Event, d *OutputShiftedData) string {
	why := "with " + channelList(d.Switches) + " elsewhere"
	if d.Mode != d.WasMode {
		why = fmt.Sprintf("in %s in place of %s", text.ModeName(d.Mode), text.ModeName(d.WasMode))
	}
	if d.Shift() == 0 {
		return fmt.Sprintf("rests at %s as before, %s", unit.FormatWidth(d.WidthNS), why)
	}
	return fmt.Sprintf("rests at %s, %s from where it was, %s", unit.FormatWidth(d.WidthNS), unit.FormatWidth(unit.Abs(d.Shift())), why)
}

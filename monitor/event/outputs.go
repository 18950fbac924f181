package event

import (
	"fmt"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// OutputBackData belongs to output.back: its pulses come, for the first time or again.
type OutputBackData struct {
	SilentNS unit.Duration `json:"silent_ns"` // how long none had come; 0 for the first
	WidthNS  unit.Width    `json:"width_ns"`
}

// OutputOddData belongs to output.odd: a run of pulses outside 700 to 2300 µs
// (common practice), or outside what the sheet's narrow pulses need.
type OutputOddData struct {
	Pulses  int64         `json:"pulses"`
	LeastNS unit.Width    `json:"least_ns"`
	MostNS  unit.Width    `json:"most_ns"`
	SpanNS  unit.Duration `json:"span_ns"`
}

// OutputJitterData belongs to output.jitter: how far the width strayed from pulse
// to pulse while nothing commanded it to move.
type OutputJitterData struct {
	SpreadNS unit.Width    `json:"spread_ns"` // between the 5th and the 95th of a hundred widths, drift taken off
	Pulses   int64         `json:"pulses"`
	ForNS    unit.Duration `json:"for_ns"`
	Mode     string        `json:"mode"` // asked for meanwhile, "" for none of the sheet's
}

// OutputUnsteadyData belongs to output.unsteady and output.calm.
type OutputUnsteadyData struct {
	MilliHz     int64         `json:"milli_hz"`     // of the strongest swing
	AmplitudeNS unit.Width    `json:"amplitude_ns"` // from its middle to its peak
	ForNS       unit.Duration `json:"for_ns"`
	Mode        string        `json:"mode"`
	GainNS      unit.Width    `json:"gain_ns,omitempty"` // where the gain channel stood, 0 where there is none
}

// OutputClipData belongs to output.clipped: the receiver cut the movement off. The
// channels that move the output went on, so it was not the transmitter.
type OutputClipData struct {
	WidthNS  unit.Width `json:"width_ns"`  // where it stood
	BeyondNS unit.Width `json:"beyond_ns"` // how much farther the mix would have taken it
	Upper    bool       `json:"upper"`     // the wide end
	Channels []int      `json:"channels"`  // that went on
}

// widthRange is a range of widths.
func widthRange(least, most unit.Width) string {
	if least == most {
		return unit.FormatWidth(least) + " wide"
	}
	return fmt.Sprintf("%s to %s wide", unit.FormatWidth(least), unit.FormatWidth(most))
}

// ofMode says which mode the bus asks for, where a sheet's is.
func ofMode(mode string) string {
	if mode == "" {
		return ""
	}
	return ", while the bus asks for " + text.ModeName(mode)
}

func unsteadySentence(e *Event, d *OutputUnsteadyData) string {
	swing := fmt.Sprintf("%s to either side, %d.%02d times a second", unit.FormatWidth(d.AmplitudeNS), d.MilliHz/1000, d.MilliHz%1000/10)
	if e.Kind == OutputCalm {
		return fmt.Sprintf("swings no more, after %s (%s)", unit.FormatDuration(d.ForNS), swing)
	}
	return fmt.Sprintf("SWINGS BY ITSELF, %s, although nothing commands it%s%s", swing, ofMode(d.Mode), withGain(d.GainNS))
}

// withGain says where the gain stood.
func withGain(at unit.Width) string {
	if at == 0 {
		return ""
	}
	return ", with the gain at " + unit.FormatWidth(at)
}

func channelList(n []int) string {
	if len(n) == 1 {
		return fmt.Sprintf("channel %d", n[0])
	}
	return "channels " + numberList(n)
}

func outputSilentSentence(_ *Event, d *SilentData) string {
	return fmt.Sprintf("ITS PULSES STOPPED, none for %s while the board goes on", unit.FormatDuration(d.LimitNS))
}

func outputBackSentence(_ *Event, d *OutputBackData) string {
	if d.SilentNS > 0 {
		return fmt.Sprintf("pulses again, after %s, %s wide", unit.FormatDuration(d.SilentNS), unit.FormatWidth(d.WidthNS))
	}
	return fmt.Sprintf("pulses are coming in, %s wide", unit.FormatWidth(d.WidthNS))
}

func oddSentence(_ *Event, d *OutputOddData) string {
	return fmt.Sprintf("%d PULSES THAT NO SERVO IS SENT within %s, %s", d.Pulses, unit.FormatDuration(d.SpanNS), widthRange(d.LeastNS, d.MostNS))
}

func jitterSentence(_ *Event, d *OutputJitterData) string {
	return fmt.Sprintf("at rest it strayed by %s in %d pulses%s", unit.FormatWidth(d.SpreadNS), d.Pulses, ofMode(d.Mode))
}

func outputClippedSentence(_ *Event, d *OutputClipData) string {
	return fmt.Sprintf("the receiver cut it off at %s while %s went on, which would have taken it %s farther",
		unit.FormatWidth(d.WidthNS), channelList(d.Channels), unit.FormatWidth(d.BeyondNS))
}

package event

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the screen says of a capture board that is not heard.
const (
	noBoardLine = "%d bytes came, but no line of a capture board: is this its port, and the bus on the other? Does it " +
		"send at another rate (--leads-baud)?"
	boardNeverHeard = "the capture board is SILENT, no line has come from it yet: is this its port, and is its firmware " +
		"on it?"
	boardSilentNow = "the capture board is SILENT, no line from it any more"
)

// leadsSentence describes servo leads and the board that listens to them; "" for what is
// not about them.
func leadsSentence(e *Event, name string) string {
	switch d := e.Data.(type) {
	case BoardHeardData:
		return boardHeardSentence(name, &d)
	case BoardLostData:
		return boardLostSentence(name, &d)
	case LossOutputsData:
		return lossOutputsSentence(&d)
	}
	if !strings.HasPrefix(e.About, "output:") {
		if d, ok := e.Data.(SilentData); ok && e.Kind == BoardSilent {
			return name + ": " + boardSilentSentence(&d)
		}
		return ""
	}
	if s := outputSentence(e); s != "" {
		return "output " + name + ": " + s
	}
	return ""
}

// outputSentence reports what one output does, without its name.
func outputSentence(e *Event) string {
	switch d := e.Data.(type) {
	case SilentData:
		return fmt.Sprintf("ITS PULSES STOPPED, none for %s while the board goes on", unit.FormatDuration(d.LimitNS))
	case OutputBackData:
		if d.SilentNS > 0 {
			return fmt.Sprintf("pulses again, after %s, %s wide", unit.FormatDuration(d.SilentNS), unit.FormatWidth(d.WidthNS))
		}
		return fmt.Sprintf("pulses are coming in, %s wide", unit.FormatWidth(d.WidthNS))
	case OutputOddData:
		return fmt.Sprintf("%d PULSES THAT NO SERVO IS SENT within %s, %s", d.Pulses, unit.FormatDuration(d.SpanNS), widthRange(d.LeastNS, d.MostNS))
	case PeriodData:
		if d.WasNS == 0 {
			return fmt.Sprintf("a pulse every %s", unit.FormatDuration(d.PeriodNS))
		}
		return fmt.Sprintf("a pulse every %s now, every %s before", unit.FormatDuration(d.PeriodNS), unit.FormatDuration(d.WasNS))
	case OutputJitterData:
		return fmt.Sprintf("at rest it strayed by %s in %d pulses%s", unit.FormatWidth(d.SpreadNS), d.Pulses, ofMode(d.Mode))
	case OutputUnsteadyData:
		return unsteadySentence(e.Kind, &d)
	case OutputClipData:
		return fmt.Sprintf("the receiver cut it off at %s while %s went on, which would have taken it %s farther",
			unit.FormatWidth(d.WidthNS), channelList(d.Channels), unit.FormatWidth(d.BeyondNS))
	case OutputFollowsData:
		return followsSentence(&d)
	}
	return ""
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

func unsteadySentence(kind string, d *OutputUnsteadyData) string {
	swing := fmt.Sprintf("%s to either side, %d.%02d times a second", unit.FormatWidth(d.AmplitudeNS), d.MilliHz/1000, d.MilliHz%1000/10)
	if kind == OutputCalm {
		return fmt.Sprintf("swings no more, after %s (%s)", unit.FormatDuration(d.ForNS), swing)
	}
	return fmt.Sprintf("SWINGS BY ITSELF, %s, although nothing commands it%s", swing, ofMode(d.Mode))
}

func channelList(n []int) string {
	if len(n) == 1 {
		return fmt.Sprintf("channel %d", n[0])
	}
	return "channels " + numberList(n)
}

// Negligible reports whether a channel moves an output by nothing, or by nothing that an
// eye would see.
func Negligible(t MixTerm) bool {
	const ppm = 20_000
	return max(t.PPM, -t.PPM) <= max(t.HalfIntervalPPM, ppm)
}

// DelayText says how far the leads are behind the bus: no more finely than a fit finds it,
// some milliseconds, where pulses come each 20 ms.
func DelayText(t unit.Duration) string {
	const step = 5 * unit.Millisecond
	if t < step {
		return "less than 5 ms behind the bus"
	}
	return fmt.Sprintf("about %d ms behind the bus", (t+step/2)/step*step/unit.Millisecond)
}

func followsSentence(d *OutputFollowsData) string {
	parts := make([]string, 0, len(d.Terms))
	for _, t := range d.Terms {
		if Negligible(t) {
			continue
		}
		parts = append(parts, fmt.Sprintf("%.2f of channel %d", float64(t.PPM)/1e6, t.Channel))
	}
	if len(parts) == 0 {
		return fmt.Sprintf("follows nothing that was moved; went from %s to %s", unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
	}
	return fmt.Sprintf("follows %s, %s, %s at neutral; went from %s to %s", text.And(parts), DelayText(d.DelayNS),
		unit.FormatWidth(d.NeutralNS), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
}

func boardSilentSentence(d *SilentData) string {
	switch {
	case d.Refused > 0:
		return fmt.Sprintf(noBoardLine, d.Refused)
	case d.Never:
		return boardNeverHeard
	}
	return boardSilentNow
}

func boardHeardSentence(name string, d *BoardHeardData) string {
	s := name + ": the capture board is heard"
	if d.SilentNS > 0 {
		s += " again, after " + unit.FormatDuration(d.SilentNS)
	}
	if d.TickNS > 0 {
		s += fmt.Sprintf(", its clock ticks each %d ns", d.TickNS)
	}
	return s
}

func boardLostSentence(name string, d *BoardLostData) string {
	parts := []string{}
	add := func(n int64, one, many string) {
		if n == 1 {
			parts = append(parts, "1 "+one)
		} else if n > 1 {
			parts = append(parts, fmt.Sprintf("%d %s", n, many))
		}
	}
	add(d.Lines, "line is lacking", "lines are lacking")
	add(d.Dropped, "pulse that the board could not tell", "pulses that the board could not tell")
	for _, reason := range slices.Sorted(maps.Keys(d.Refused)) {
		add(d.Refused[reason], "byte refused ("+reason+")", "bytes refused ("+reason+")")
	}
	add(d.Restarts, "restart of the board", "restarts of the board")
	return fmt.Sprintf("%s: trouble between board and computer within %s: %s; what was in it is not known",
		name, unit.FormatDuration(d.SpanNS), strings.Join(parts, ", "))
}

func lossOutputsSentence(d *LossOutputsData) string {
	parts := make([]string, 0, len(d.Outputs))
	for i := range d.Outputs {
		o := &d.Outputs[i]
		did := "went from " + unit.FormatWidth(o.WasNS) + " to " + unit.FormatWidth(o.NowNS)
		switch {
		case o.SilentNS >= 0:
			did = "fell silent after " + unit.FormatDuration(o.SilentNS)
		case o.WasNS == 0:
			did = "came to " + unit.FormatWidth(o.NowNS)
		case max(o.NowNS-o.WasNS, o.WasNS-o.NowNS) <= outputStays:
			did = "stayed at " + unit.FormatWidth(o.NowNS)
		}
		parts = append(parts, fmt.Sprintf("output %d %s", o.Output, did))
	}
	return fmt.Sprintf("%s: without a signal %s", d.Tap, strings.Join(parts, ", "))
}

// outputStays is what an output may stray and still be said to have stayed, ns.
const outputStays = 5_000

package view

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// outputLines are bus and leads side by side.
func outputLines(seen *record.Overview, sh *sheet.Sheet) []string {
	outputs := seen.OutputsSeen()
	if len(outputs) == 0 {
		return nil
	}
	lines := []string{"Bus and leads, side by side:"}
	for i := range outputs {
		o := &outputs[i]
		line := fmt.Sprintf("  %-24s %s", outputTitle(o), mixSentence(o, sh))
		if seen.FellSilent(o.Output) {
			line += "; SILENT"
		}
		lines = append(lines, line)
	}
	return lines
}

func outputTitle(o *record.Output) string {
	if o.Surface != "" {
		return fmt.Sprintf("output %d (%s)", o.Output, o.Surface)
	}
	return fmt.Sprintf("output %d", o.Output)
}

func channelTitle(sh *sheet.Sheet, number int) string {
	if c, ok := sh.Channel(number); ok {
		return c.Name
	}
	return fmt.Sprintf("channel %d", number)
}

// mixSentence says what an output was found to make of the bus.
func mixSentence(o *record.Output, sh *sheet.Sheet) string {
	var s string
	if d := o.Follows; d == nil {
		s = "is heard; what moves it was not found out yet: move every stick to both ends, one at a time"
	} else {
		var parts []string
		for _, t := range d.Terms {
			if !event.Negligible(t) {
				parts = append(parts, fmt.Sprintf("%.2f %s", float64(t.PPM)/1e6, channelTitle(sh, t.Channel)))
			}
		}
		if len(parts) == 0 {
			parts = []string{"nothing that was moved"}
		}
		s = fmt.Sprintf("= %s; went from %s to %s, %s", text.And(parts), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS), event.DelayText(d.DelayNS))
	}
	var clipped []string
	for _, w := range o.ClippedNS {
		if at := unit.FormatWidth(w); !slices.Contains(clipped, at) {
			clipped = append(clipped, at)
		}
	}
	if len(clipped) > 0 {
		s += "; cut off at " + text.And(clipped)
	}
	if jumps := o.Jumps(); len(jumps) > 0 {
		s += "; jumps at rest by " + text.And(jumps)
	}
	return s
}

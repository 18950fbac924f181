package page

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// outputRow is an output as it is printed.
type outputRow struct {
	Name, Made, Range, Cut, Period, Jitter, Jumps, Silences string
}

func newOutputRow(o *record.Output, s *sheet.Sheet) outputRow {
	row := outputRow{
		Name: fmt.Sprintf("%d %s", o.Output, o.Surface), Made: "not found out",
		Range: "–", Cut: "not seen", Period: "–", Jitter: "–", Jumps: "–", Silences: "never",
	}
	if !o.Heard {
		return outputRow{Name: row.Name, Made: "not heard", Range: "–", Cut: "–", Period: "–", Jitter: "–", Jumps: "–", Silences: "–"}
	}
	if o.PeriodNS > 0 {
		row.Period = unit.FormatDuration(o.PeriodNS)
	}
	if o.JitterNS >= 0 {
		row.Jitter = unit.FormatWidth(o.JitterNS)
	}
	if o.Silences > 0 {
		row.Silences = text.Times(o.Silences)
	}
	if len(o.ClippedNS) > 0 {
		var at []string
		for _, w := range o.ClippedNS {
			at = append(at, unit.FormatWidth(w))
		}
		row.Cut = "at " + text.And(at)
	}
	if len(o.Shifts) > 0 {
		row.Jumps = "none seen"
	}
	if jumps := o.Jumps(); len(jumps) > 0 {
		row.Jumps = text.And(jumps)
	}
	if d := o.Follows; d != nil {
		row.Made = mix(d, s)
		row.Range = unit.FormatWidth(d.LeastNS) + " – " + unit.FormatWidth(d.MostNS)
	}
	return row
}

// mix is what an output was found to make of the channels.
func mix(d *event.OutputFollowsData, s *sheet.Sheet) string {
	var parts []string
	for _, t := range d.Terms {
		if event.Negligible(t) {
			continue
		}
		name := fmt.Sprintf("channel %d", t.Channel)
		if c, ok := s.Channel(t.Channel); ok {
			name = c.Name
		}
		parts = append(parts, fmt.Sprintf("%.2f ± %.3f × %s", float64(t.PPM)/1e6, float64(t.HalfIntervalPPM)/1e6, name))
	}
	if len(parts) == 0 {
		return "nothing that was moved moves it"
	}
	return fmt.Sprintf("%s, %s", strings.Join(parts, ", "), event.DelayText(d.DelayNS))
}

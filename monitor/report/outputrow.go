package report

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// outputRow is an output as it is printed.
type outputRow struct {
	Name, Made, Range, Cut, Period, Jitter, Silences string
}

func newOutputRow(o *Output, s *sheet.Sheet) outputRow {
	row := outputRow{Name: fmt.Sprintf("%d %s", o.Output, o.Surface), Made: "not found out", Range: "–", Cut: "not seen", Period: "–", Jitter: "–", Silences: "never"}
	if !o.Heard {
		return outputRow{Name: row.Name, Made: "not heard", Range: "–", Cut: "–", Period: "–", Jitter: "–", Silences: "–"}
	}
	if o.PeriodNS > 0 {
		row.Period = say.FormatSpan(o.PeriodNS)
	}
	if o.JitterNS >= 0 {
		row.Jitter = say.FormatWidth(o.JitterNS)
	}
	if o.Silences > 0 {
		row.Silences = times(o.Silences)
	}
	if len(o.ClippedNS) > 0 {
		var at []string
		for _, w := range o.ClippedNS {
			at = append(at, say.FormatWidth(w))
		}
		row.Cut = "at " + say.And(at)
	}
	if d := o.Follows; d != nil {
		row.Made = mix(d, s)
		row.Range = say.FormatWidth(d.LeastNS) + " – " + say.FormatWidth(d.MostNS)
	}
	return row
}

// mix is what an output was found to make of the channels.
func mix(d *fact.OutputFollowsData, s *sheet.Sheet) string {
	var parts []string
	for _, t := range d.Terms {
		if say.Slight(t) {
			continue
		}
		name := fmt.Sprintf("channel %d", t.Channel)
		if c, ok := s.Channel(t.Channel); ok {
			name = c.Name
		}
		parts = append(parts, fmt.Sprintf("%.2f ± %.3f × %s", float64(t.PPM)/1e6, float64(t.SurePPM)/1e6, name))
	}
	if len(parts) == 0 {
		return "nothing that was moved moves it"
	}
	return fmt.Sprintf("%s, %s", strings.Join(parts, ", "), say.Behind(d.DelayNS))
}

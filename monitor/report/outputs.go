package report

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// Output is one servo lead and what it was seen to do.
type Output struct {
	Output    int               `json:"output"`
	Surface   string            `json:"surface"`    // in the sheet, "" where it has none
	Heard     bool              `json:"heard"`      // its pulses came
	PeriodNS  fact.Time         `json:"period_ns"`  // 0: not known
	JitterNS  int64             `json:"jitter_ns"`  // the largest at rest in a mode that the sheet has without corrections; -1: none was measured
	Silences  int               `json:"silences"`   // how often its pulses stopped
	ClippedNS []int64           `json:"clipped_ns"` // widths at which it was cut off, each once
	Follows   *fact.FollowsData `json:"follows"`    // the mix that was found last, and the range over all; null: none was
}

// Tilt is one time that somebody was to tilt the model.
type Tilt struct {
	AtNS   fact.Time `json:"at_ns"`
	Drill  string    `json:"drill"`
	Prompt string    `json:"prompt"`
	Who    string    `json:"who"` // "" where nobody said
	By     string    `json:"by"`  // "builder": a tap told that it was tilted; "count": it was counted out, and nothing told
}

// leads gathers what servo leads showed.
type leads struct {
	outputs []Output // by number
	tilts   []Tilt
}

func (l *leads) of(number int) *Output {
	i, ok := slices.BinarySearchFunc(l.outputs, number, func(o Output, n int) int { return o.Output - n })
	if !ok {
		l.outputs = slices.Insert(l.outputs, i, Output{Output: number, JitterNS: -1, ClippedNS: []int64{}})
	}
	return &l.outputs[i]
}

func (l *leads) see(e *fact.Event, s *sheet.Sheet) {
	if d, ok := e.Data.(fact.AnswerData); ok {
		l.answer(e, &d)
		return
	}
	var number int
	if _, err := fmt.Sscanf(e.About, "output:%d", &number); err != nil {
		return
	}
	o := l.of(number)
	switch d := e.Data.(type) {
	case fact.OutputBackData:
		o.Heard = true
	case fact.SilentData:
		o.Silences++
	case fact.PeriodData:
		o.PeriodNS = d.PeriodNS
	case fact.OutputJitterData:
		if uncorrected(s, d.Mode) {
			o.JitterNS = max(o.JitterNS, d.SpreadNS)
		}
	case fact.OutputClipData:
		if !slices.Contains(o.ClippedNS, d.WidthNS) {
			o.ClippedNS = append(o.ClippedNS, d.WidthNS)
		}
	case fact.FollowsData:
		o.Follows = d.After(o.Follows)
	}
}

// uncorrected reports whether nothing is corrected in a mode.
func uncorrected(s *sheet.Sheet, mode string) bool {
	return s.Stabiliser == nil || slices.ContainsFunc(s.Stabiliser.Modes, func(m sheet.Mode) bool {
		return m.Name == mode && m.Does == sheet.DoesNothing
	})
}

// answer keeps who tilted the model, and how that is known.
func (l *leads) answer(e *fact.Event, d *fact.AnswerData) {
	name := strings.TrimPrefix(e.About, "drill:")
	step := fact.PromptStep(d.Prompt)
	tilts := name == fact.ResponseDrill || name == fact.CorrectionDrill
	if tilts && (step == fact.PromptThere || step == fact.PromptOther) {
		l.tilts = append(l.tilts, Tilt{AtNS: e.From, Drill: name, Prompt: d.Prompt, Who: d.Who, By: d.By})
	}
}

// list are the outputs of the sheet and all others that were heard.
func (l *leads) list(s *sheet.Sheet) []Output {
	for i := range s.Outputs {
		l.of(s.Outputs[i].Number).Surface = s.Outputs[i].Surface
	}
	if l.outputs == nil {
		return []Output{}
	}
	return l.outputs
}

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
		row.Period = say.Span(o.PeriodNS)
	}
	if o.JitterNS >= 0 {
		row.Jitter = say.Width(o.JitterNS)
	}
	if o.Silences > 0 {
		row.Silences = times(o.Silences)
	}
	if len(o.ClippedNS) > 0 {
		var at []string
		for _, w := range o.ClippedNS {
			at = append(at, say.Width(w))
		}
		row.Cut = "at " + say.And(at)
	}
	if d := o.Follows; d != nil {
		row.Made = mix(d, s)
		row.Range = say.Width(d.LeastNS) + " – " + say.Width(d.MostNS)
	}
	return row
}

// mix is what an output was found to make of the channels.
func mix(d *fact.FollowsData, s *sheet.Sheet) string {
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

// told says who tilted and how that is known.
func (t Tilt) told() string {
	who := t.Who
	if who == "" {
		who = "somebody (no name was given)"
	}
	if t.By == "builder" {
		return fmt.Sprintf("%s %s: %s tilted it, and a tap said so", clock(t.AtNS), t.Prompt, who)
	}
	return fmt.Sprintf("%s %s: %s was to tilt it, by a spoken count; nothing else says that it was done", clock(t.AtNS), t.Prompt, who)
}

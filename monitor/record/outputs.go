package record

import (
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// leads gathers what servo leads showed.
type leads struct {
	Outputs []Output // by number
	Tilts   []Tilt
	Silent  map[int]bool // outputs whose pulses stopped and are not back

	drills *drill.Index
}

func (l *leads) of(number int) *Output {
	i, ok := slices.BinarySearchFunc(l.Outputs, number, func(o Output, n int) int { return o.Output - n })
	if !ok {
		l.Outputs = slices.Insert(l.Outputs, i, Output{Output: number, JitterNS: -1, ClippedNS: []unit.Width{}})
	}
	return &l.Outputs[i]
}

func (l *leads) see(e *event.Event, s *sheet.Sheet) {
	if d, ok := e.Data.(event.DrillAnsweredData); ok {
		l.answer(e, &d)
		return
	}
	number, ok := event.AboutOutput.Number(e.About)
	if !ok {
		return
	}
	o := l.of(number)
	switch d := e.Data.(type) {
	case event.OutputBackData:
		o.Heard, l.Silent[number] = true, false
	case event.SilentData:
		o.Silences++
		l.Silent[number] = true
	case event.PeriodData:
		o.PeriodNS = d.PeriodNS
	case event.OutputJitterData:
		if uncorrected(s, d.Mode) {
			o.JitterNS = max(o.JitterNS, d.SpreadNS)
		}
	case event.OutputClipData:
		if !slices.Contains(o.ClippedNS, d.WidthNS) {
			o.ClippedNS = append(o.ClippedNS, d.WidthNS)
		}
	case event.OutputFollowsData:
		o.Follows = d.WithRange(o.Follows)
	case event.OutputShiftedData:
		o.Shifts = withShift(o.Shifts, &d)
	}
}

// uncorrected reports whether nothing is corrected in a mode.
func uncorrected(s *sheet.Sheet, mode string) bool {
	return s.Stabiliser == nil || slices.ContainsFunc(s.Stabiliser.Modes, func(m sheet.Mode) bool {
		return m.Name == mode && m.Does == sheet.DoesNothing
	})
}

// answer keeps who tilted the model, and how that is known.
func (l *leads) answer(e *event.Event, d *event.DrillAnsweredData) {
	plan, ask := l.drills.Asked(d.Prompt)
	if ask.Act == drill.ActTilt || ask.Act == drill.ActOpposite {
		l.Tilts = append(l.Tilts, Tilt{AtNS: e.From, Drill: plan.Name, Prompt: d.Prompt, Who: d.Who, By: d.By})
	}
}

// list are the outputs of the sheet and all others that were heard.
func (l *leads) list(s *sheet.Sheet) []Output {
	for i := range s.Outputs {
		l.of(s.Outputs[i].Number).Surface = s.Outputs[i].Surface
	}
	if l.Outputs == nil {
		return []Output{}
	}
	return l.Outputs
}

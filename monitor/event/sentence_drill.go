package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// drillSentence describes drills; "" for what is none.
func drillSentence(e *Event, name string) string {
	switch d := e.Data.(type) {
	case DrillBeganData:
		whose := ""
		if d.By != "" {
			whose = ", followed by " + d.By
		}
		return fmt.Sprintf("drill %s began: %d prompts%s, once its cautions are confirmed", name, d.Prompts, whose)
	case DrillPromptedData:
		return fmt.Sprintf("drill %s, %d of %d: %s", name, d.Number, d.Of, d.Text)
	case DrillAnsweredData:
		return PromptAnswer(&d)
	case DrillHintData:
		return fmt.Sprintf("drill %s, %s: %s", name, d.Prompt, d.Why)
	case DrillEndedData:
		s := fmt.Sprintf("drill %s %s", name, d.How)
		if d.Why != "" {
			s += ": " + d.Why
		}
		return s
	}
	return ""
}

// reasonSentence is for what needs no more than its reason.
func reasonSentence(e *Event, name, why string) string {
	switch {
	case e.Kind == DrillRefused && name == e.About: // of no drill of the sheet
		return "a drill step was refused: " + why
	case e.Kind == DrillRefused:
		return "drill " + name + " refused a step: " + why
	}
	return name + ": " + why
}

// How far a channel or an output went to be worth a word, ns of width: a hand moves a
// stick far, a stabiliser an output only a little.
const (
	movedLeast    = 30_000
	answeredLeast = 12_000
)

// answeredBy says how a prompt was answered, by AnswerData.By.
var answeredBy = map[string]string{"wire": "seen", "count": "done on the count"}

// PromptAnswer says what the wire did at a prompt.
func PromptAnswer(d *DrillAnsweredData) string {
	how, ok := answeredBy[d.By]
	if !ok {
		how = "done"
	}
	s := d.Prompt + ": " + how
	if d.Frames == 0 {
		return s + ", but no live frame was heard meanwhile"
	}
	var parts []string
	for _, m := range d.Channels {
		if far := max(m.MostNS-m.FromNS, m.FromNS-m.LeastNS); far >= movedLeast {
			parts = append(parts, fmt.Sprintf("channel %d %s to %s", m.Channel, unit.FormatWidth(m.FromNS), unit.FormatWidth(m.ToNS)))
		}
	}
	if len(parts) == 0 {
		parts = []string{"no channel moved"}
	}
	parts = append(parts, outputsMoved(d.Outputs)...)
	return s + "; " + strings.Join(parts, ", ") + whoseDoing(d.Signal, d.Suspect)
}

// outputsMoved says what the servo leads did: how far each went at most, and how far off
// it was in the last second.
func outputsMoved(moves []OutputMove) (parts []string) {
	for _, m := range moves {
		far := m.MostNS - m.FromNS
		if m.FromNS-m.LeastNS > far {
			far = m.LeastNS - m.FromNS
		}
		switch {
		case m.Pulses == 0:
			parts = append(parts, fmt.Sprintf("output %d SILENT", m.Output))
		case m.FromNS == 0 || m.EndMeanNS == 0:
			parts = append(parts, fmt.Sprintf("output %d silent for a part of it", m.Output))
		case max(far, -far) >= answeredLeast:
			parts = append(parts, fmt.Sprintf("output %d by %s at most, %s at the end", m.Output, signedWidth(far), signedWidth(m.EndMeanNS-m.FromNS)))
		}
	}
	return parts
}

// signedWidth is a width with its sign: "+84 µs".
func signedWidth(width unit.Width) string {
	if width < 0 {
		return "-" + unit.FormatWidth(-width)
	}
	return "+" + unit.FormatWidth(width)
}

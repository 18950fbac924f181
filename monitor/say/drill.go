package say

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/fact"
)

// drill tells of drills; "" for what is none.
func drill(e *fact.Event, name string) string {
	switch d := e.Data.(type) {
	case fact.DrillBeganData:
		return fmt.Sprintf("drill %s began: %d prompts, once its cautions are confirmed", name, d.Prompts)
	case fact.PromptData:
		return fmt.Sprintf("drill %s, %d of %d: %s", name, d.Number, d.Of, d.Text)
	case fact.AnswerData:
		return Answer(&d)
	case fact.DrillEndedData:
		s := fmt.Sprintf("drill %s %s", name, d.How)
		if d.Why != "" {
			s += ": " + d.Why
		}
		return s
	}
	return ""
}

// reason is for what needs no more than its reason.
func reason(e *fact.Event, name, why string) string {
	switch {
	case e.Kind == fact.DrillRefused && name == e.About: // of no drill of the sheet
		return "a drill step was refused: " + why
	case e.Kind == fact.DrillRefused:
		return "drill " + name + " refused a step: " + why
	}
	return name + ": " + why
}

// movedLeast is how far a channel went to be worth a word, ns of width.
const movedLeast = 30_000

// Answer says what the wire did at a prompt.
func Answer(d *fact.AnswerData) string {
	s := d.Prompt + ": done"
	if d.By == "wire" {
		s = d.Prompt + ": seen"
	}
	if d.Frames == 0 {
		return s + ", but no live frame was heard meanwhile"
	}
	var parts []string
	for _, m := range d.Channels {
		if far := max(m.MostNS-m.FromNS, m.FromNS-m.LeastNS); far >= movedLeast {
			parts = append(parts, fmt.Sprintf("channel %d %s to %s", m.Channel, Width(m.FromNS), Width(m.ToNS)))
		}
	}
	if len(parts) == 0 {
		parts = []string{"no channel moved"}
	}
	return s + "; " + strings.Join(parts, ", ") + by(d.Signal, d.Suspect)
}

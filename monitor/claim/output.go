package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

// TopicOutputs is the topic that reopens what the servo leads showed.
const TopicOutputs = "outputs"

// output is one output in sentences.
func output(o *sheet.Output) string { return fmt.Sprintf("output %d (%s)", o.Number, o.Surface) }

func about(o *sheet.Output) string { return event.AboutOutput.Numbered(o.Number) }

// topicsOf are what the claims of an output depend on.
func topicsOf(b *Book, o *sheet.Output) []string {
	topics := []string{TopicOutputs}
	for _, m := range o.MovedBy {
		if c, ok := b.sheet.Channel(m.Channel); ok {
			topics = append(topics, c.Name)
		}
	}
	return topics
}

// movers names the channels of an output as the sheet gives them: "aileron 0.5 and
// elevator -0.5".
func movers(b *Book, o *sheet.Output) string {
	var parts []string
	for _, m := range o.MovedBy {
		c, _ := b.sheet.Channel(m.Channel)
		if m.Find {
			parts = append(parts, c.Name)
			continue
		}
		parts = append(parts, c.Name+" "+weight(m.Weight))
	}
	return text.And(parts)
}

// weight is parts per million as the sheet has it.
func weight(ppm int64) string { return fmt.Sprintf("%.2f", float64(ppm)/1e6) }

// outputsDo is how the outputs answer a held tilt in a mode, "" where the sheet does not
// say or there is no such mode.
func outputsDo(s *sheet.Sheet, mode string) string {
	if s.Stabiliser == nil {
		return sheet.DoesNothing
	}
	for i := range s.Stabiliser.Modes {
		if s.Stabiliser.Modes[i].Name == mode {
			return s.Stabiliser.Modes[i].Does
		}
	}
	return ""
}

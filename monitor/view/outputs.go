package view

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// outputOverview is what the latest events say of one output.
type outputOverview struct {
	number  int
	silent  bool
	follows *event.OutputFollowsData
	clipped []string
}

// output takes an event of one output.
func (f *Overview) output(e *event.Event) {
	number, ok := event.AboutOutput.Number(e.About)
	if !ok {
		return
	}
	o := f.outputOf(number)
	switch d := e.Data.(type) {
	case event.OutputBackData:
		o.silent = false
	case event.SilentData:
		o.silent = true
	case event.OutputFollowsData:
		o.follows = d.WithRange(o.follows)
	case event.OutputClipData:
		if at := unit.FormatWidth(d.WidthNS); !slices.Contains(o.clipped, at) {
			o.clipped = append(o.clipped, at)
		}
	}
}

func (f *Overview) outputOf(number int) *outputOverview {
	i, ok := slices.BinarySearchFunc(f.outputs, number, func(o *outputOverview, n int) int { return o.number - n })
	if !ok {
		f.outputs = slices.Insert(f.outputs, i, &outputOverview{number: number})
	}
	return f.outputs[i]
}

// sideBySide are bus and leads side by side, in lines.
func (f *Overview) sideBySide() []string {
	if len(f.outputs) == 0 {
		return nil
	}
	lines := []string{"Bus and leads, side by side:"}
	for _, o := range f.outputs {
		lines = append(lines, fmt.Sprintf("  %-24s %s", f.nameOf(o.number), o.mixSentence(f)))
	}
	return lines
}

func (f *Overview) nameOf(number int) string {
	if f.Names.Output != nil {
		if name := f.Names.Output(number); name != "" {
			return fmt.Sprintf("output %d (%s)", number, name)
		}
	}
	return fmt.Sprintf("output %d", number)
}

func (f *Overview) channel(number int) string {
	if f.Names.Channel != nil {
		if name := f.Names.Channel(number); name != "" {
			return name
		}
	}
	return fmt.Sprintf("channel %d", number)
}

// mixSentence says what an output was found to make of the bus.
func (o *outputOverview) mixSentence(f *Overview) string {
	var s string
	if d := o.follows; d == nil {
		s = "is heard; what moves it was not found out yet: move every stick to both ends, one at a time"
	} else {
		var parts []string
		for _, t := range d.Terms {
			if !event.Negligible(t) {
				parts = append(parts, fmt.Sprintf("%.2f %s", float64(t.PPM)/1e6, f.channel(t.Channel)))
			}
		}
		if len(parts) == 0 {
			parts = []string{"nothing that was moved"}
		}
		s = fmt.Sprintf("= %s; went from %s to %s, %s", text.And(parts), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS), event.DelayText(d.DelayNS))
	}
	if len(o.clipped) > 0 {
		s += "; cut off at " + text.And(o.clipped)
	}
	if o.silent {
		s += "; SILENT"
	}
	return s
}

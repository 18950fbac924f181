package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	// nudge is how far a channel stirs while nobody touches its stick: noise of a
	// gimbal stays well within it, ns.
	nudge = 8_000
	// faint is what an output may stray by itself, ns: twice what a good receiver
	// does with stabilisation off. Only below that nothing at all came of a tilt
	// which may have been a slow one.
	faint = 5_000
	// surely is an answer that no jitter makes, so that the model was tilted, ns.
	surely = 30_000
)

// swing is what one output did in a prompt, from where it stood at it.
type swing struct {
	Output int   `json:"output"`
	Peak   int64 `json:"peak_ns"` // to the side on which it went farther
	Back   int64 `json:"back_ns"` // to the other, not negative
	Late   int64 `json:"late_ns"` // in the last second
	Sway   int64 `json:"sway_ns"` // before the prompt
}

// swings are those of outputs that were heard all along.
func swings(d *fact.AnswerData, outputs []*sheet.Output) (list []swing) {
	for _, o := range outputs {
		i := slices.IndexFunc(d.Outputs, func(m fact.OutputMove) bool { return m.Output == o.Number })
		if i < 0 {
			continue
		}
		m := &d.Outputs[i]
		if m.FromNS == 0 || m.LateNS == 0 || m.LeastNS == 0 {
			continue
		}
		up, down := max(0, m.MostNS-m.FromNS), max(0, m.FromNS-m.LeastNS)
		s := swing{Output: o.Number, Peak: up, Back: down, Late: m.LateNS - m.FromNS, Sway: m.SwayNS}
		if down > up {
			s.Peak, s.Back = -down, up
		}
		list = append(list, s)
	}
	return list
}

// swingOf finds the swing of an output.
func swingOf(list []swing, output int) (swing, bool) {
	i := slices.IndexFunc(list, func(s swing) bool { return s.Output == output })
	if i < 0 {
		return swing{}, false
	}
	return list[i], true
}

// correcting are the outputs that a stabiliser corrects anything with.
func correcting(s *sheet.Sheet) (list []*sheet.Output) {
	for i := range s.Outputs {
		if len(s.Outputs[i].Corrects) > 0 {
			list = append(list, &s.Outputs[i])
		}
	}
	return list
}

// mistrust says why what outputs did in a prompt is not the answer to a tilt, "" if
// it may be.
func mistrust(d *fact.AnswerData, outputs []*sheet.Output, b *Book) string {
	switch {
	case d.Frames == 0 || d.Signal != fact.Live:
		return "the receiver did not hear its transmitter meanwhile, so nobody knows what it was asked for"
	case d.Suspect:
		return "many channels of the bus had leapt at once, as presets do, so nobody knows what it was asked for"
	case len(swings(d, outputs)) == 0:
		return "no output that corrects this sent pulses all along: look at the leads"
	}
	if o := restless(d, outputs); o != nil {
		return output(o) + " did not rest before the tilt: hold the model level and still until the third count; if the output swings by itself, that comes first"
	}
	for _, o := range outputs {
		for _, w := range o.MovedBy {
			if m := move(d, w.Channel); m.MostNS-m.LeastNS > nudge {
				return fmt.Sprintf("%s moved on the bus meanwhile: leave every stick alone while the model is tilted", name(b, w.Channel))
			}
		}
	}
	return ""
}

// restless is an output of which nobody knows where it stood at a prompt, since it had
// gone to and fro by half of what it did afterwards. nil: there is none.
func restless(d *fact.AnswerData, outputs []*sheet.Output) *sheet.Output {
	for _, o := range outputs {
		if s, ok := swingOf(swings(d, outputs), o.Number); ok && s.Sway >= sensed && 2*s.Sway >= abs(s.Peak) {
			return o
		}
	}
	return nil
}

// tilter says who tilted the model, and how that is known.
func tilter(d *fact.AnswerData) string {
	who := "tilted"
	if d.Who != "" {
		who = "tilted by " + d.Who
	}
	if d.By == "builder" {
		return who + ", confirmed by a tap"
	}
	return who + " on a spoken count"
}

// waiting is a claim of which nothing was seen, although that says something only if
// the model was tilted at all. It becomes sure once another tilt was answered.
type waiting struct {
	ID      string           `json:"id"`
	Right   bool             `json:"right"`
	Text    string           `json:"text"`
	Span    fact.Span        `json:"span"`
	Figures map[string]int64 `json:"figures"`
}

// witness keeps what waits, in one run of a drill.
type witness struct {
	Answered bool      `json:"answered"` // a tilt was: somebody tilts
	Waiting  []waiting `json:"waiting"`
}

// unseen takes that nothing was seen. sure: the tilt was confirmed.
func (w *witness) unseen(x waiting, sure bool, doubt string, b *Book) {
	if sure || w.Answered {
		b.find(x.ID, finding{x.Right, x.Text, x.Span, x.Figures})
		return
	}
	w.Waiting = append(w.Waiting, x)
	b.unclear(x.ID, doubt)
}

// answered takes that a tilt was answered.
func (w *witness) answered(b *Book) {
	w.Answered = true
	for _, x := range w.Waiting {
		b.find(x.ID, finding{x.Right, x.Text, x.Span, x.Figures})
	}
	w.Waiting = nil
}

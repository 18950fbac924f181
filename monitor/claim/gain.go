package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// halfShare is how near half gain a hand brings a knob without a mark: this part
// of its range.
const halfShare = 20

// gain judges the gain control: that its turn covers the range of the sheet, that
// no gain at all does not lie in the middle of it, and that its centre is half.
//
//	folded law    full ... none ... full
//	              988      1500     2012
//	plain knob    ^-----------------^      no gain in the middle of the turn
//	with a curve           ^--------^      none, half, full
type gain struct {
	Reached map[string]int64 `json:"reached"` // ends of the knob, by name
	Span    fact.Span        `json:"span"`

	channel *sheet.Channel
	law     *sheet.Gain
}

func newGain(b *Book) *gain {
	c, _ := b.sheet.Channel(b.sheet.Gain.Channel)
	g := &gain{Reached: map[string]int64{}, channel: c, law: b.sheet.Gain}
	if c.Kind != sheet.Knob {
		return g
	}
	b.add("gain/span", fmt.Sprintf("%s turns from %s at %s to %s at %s", c.Name, say.Width(c.Places[0].Width), c.Places[0].Name, say.Width(c.Places[1].Width), c.Places[1].Name),
		"turn "+c.Name+" to both ends", "gain", c.Name)
	if g.folds() {
		b.add("gain/fold", fmt.Sprintf("no gain (%s) lies at an end of the turn of %s, not in the middle", say.Width(g.law.Zero), c.Name), "turn "+c.Name+" to both ends", "gain", c.Name)
	}
	b.add("gain/half", fmt.Sprintf("%s in the centre of its turn is half gain, %s", c.Name, say.Width(g.half())), "drill gain", "gain", c.Name)
	return g
}

// folds: either side of the zero is gain, and the sheet wants one side.
func (g *gain) folds() bool {
	zero, a, b := g.law.Zero, g.channel.Places[0].Width, g.channel.Places[1].Width
	return g.law.Law == sheet.Folded && (a >= zero) == (b >= zero)
}

func (g *gain) half() int64 { return (g.channel.Places[0].Width + g.channel.Places[1].Width) / 2 }

func (g *gain) see(e *fact.Event, b *Book) {
	if g.channel.Kind != sheet.Knob {
		return
	}
	span := fact.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case fact.SweepData:
		if d.Channel == g.channel.Number && believed(d.Signal, d.Suspect) {
			g.swept(d.LeastNS, d.MostNS, span, b)
		}
	case fact.AnswerData:
		if end, ok := strings.CutPrefix(d.Prompt, "gain/"); ok && heard(&d) {
			m := move(&d, g.channel.Number)
			g.swept(m.LeastNS, m.MostNS, span, b)
			g.answered(end, m.ToNS, span, b)
		}
	}
}

// swept judges the range that a movement covered.
func (g *gain) swept(least, most int64, span fact.Span, b *Book) {
	low, high := g.channel.Places[0], g.channel.Places[1]
	if low.Width > high.Width {
		low, high = high, low
	}
	tolerance := b.sheet.Tolerance.Position
	figures := map[string]int64{"least_ns": least, "most_ns": most}
	if least < low.Width-tolerance || most > high.Width+tolerance {
		b.wrong("gain/span", fmt.Sprintf("%s goes from %s to %s, beyond the sheet's %s to %s: give the knob a curve, or set its ends, in the transmitter",
			g.channel.Name, say.Width(least), say.Width(most), say.Width(low.Width), say.Width(high.Width)), span, figures)
	}
	if g.folds() && least < g.law.Zero-tolerance && most > g.law.Zero+tolerance {
		b.wrong("gain/fold", fmt.Sprintf("%s passes %s, no gain at all, in the middle of its turn: give it a curve in the transmitter that sends one side only", g.channel.Name, say.Width(g.law.Zero)), span, figures)
	}
	if abs(least-low.Width) <= tolerance {
		g.Reached[low.Name] = least
	}
	if abs(most-high.Width) <= tolerance {
		g.Reached[high.Name] = most
	}
	if len(g.Reached) == 2 {
		b.right("gain/span", fmt.Sprintf("%s turns from %s to %s", g.channel.Name, say.Width(g.Reached[low.Name]), say.Width(g.Reached[high.Name])), span, figures)
		b.right("gain/fold", fmt.Sprintf("%s was turned to both ends and did not pass %s, no gain, on its way", g.channel.Name, say.Width(g.law.Zero)), span, figures)
	}
}

// answered judges where the builder says that the knob stands.
func (g *gain) answered(end string, at int64, span fact.Span, b *Book) {
	figures := map[string]int64{"width_ns": at}
	if end == "centre" {
		if !b.hands.Moved {
			return
		}
		if off := abs(at - g.half()); off <= abs(g.channel.Places[1].Width-g.channel.Places[0].Width)/halfShare {
			b.right("gain/half", fmt.Sprintf("%s in the centre of its turn stands at %s, %s from half gain", g.channel.Name, say.Width(at), say.Width(off)), span, figures)
		} else {
			b.wrong("gain/half", fmt.Sprintf("%s in the centre of its turn stands at %s, %s from half gain (%s): give it a straight curve between its ends in the transmitter",
				g.channel.Name, say.Width(at), say.Width(off), say.Width(g.half())), span, figures)
		}
		return
	}
	i := slices.IndexFunc(g.channel.Places, func(p sheet.Place) bool { return p.Name == end })
	if i < 0 || !b.hands.Moved || abs(at-g.channel.Places[i].Width) <= b.sheet.Tolerance.Position {
		return
	}
	b.wrong("gain/span", fmt.Sprintf("%s fully %s stands at %s, not at the sheet's %s: check that the knob drives channel %d in the transmitter, and set its ends",
		g.channel.Name, end, say.Width(at), say.Width(g.channel.Places[i].Width), g.channel.Number), span, figures)
}

func (g *gain) forget(what string, _ fact.Time) {
	if what == g.channel.Name || what == Everything {
		clear(g.Reached)
	}
}

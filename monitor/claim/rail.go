package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// rail judges that a channel never stands at an end of what the bus can carry,
// where anything beyond is cut off, and that no limit cuts a stick's travel off
// before its stop. For sticks it shares a claim with the ends drill, which sees
// to it that both stops are visited.
type rail struct{ channel *sheet.Channel }

func newRail(b *Book, c *sheet.Channel) *rail {
	if _, there := b.byID["clip/"+c.Name]; !there {
		b.add("clip/"+c.Name, fmt.Sprintf("%s never stands at an end of the bus's range", c.Name), fmt.Sprintf("move %s through its range", c.Name), "", c.Name)
	}
	return &rail{c}
}

func (r *rail) see(e *fact.Event, b *Book) {
	span := fact.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case fact.ClipData:
		r.clipped(e.Kind, &d, span, b)
	case fact.SwitchData:
		if e.About == "switch:"+r.channel.Name && believed(d.Signal, d.Suspect) && d.Was != "" && d.Within {
			r.free(fmt.Sprintf("%s moved between its places", r.channel.Name), span, b)
		}
	case fact.SweepData:
		if d.Channel == r.channel.Number && believed(d.Signal, d.Suspect) {
			r.free(fmt.Sprintf("%s swept %s to %s", r.channel.Name, say.Width(d.LeastNS), say.Width(d.MostNS)), span, b)
		}
	}
}

func (r *rail) clipped(kind string, d *fact.ClipData, span fact.Span, b *Book) {
	if kind != fact.TravelClipped || d.Channel != r.channel.Number || d.Signal != fact.Live {
		return
	}
	figures := map[string]int64{"count": d.Count, "width_ns": d.WidthNS, "dwell_ns": int64(d.DwellNS)}
	if d.Short {
		b.wrong("clip/"+r.channel.Name, fmt.Sprintf("%s ran into a limit at %s and stood flat for %s while the stick went on: raise the limit of that channel in the transmitter, or make its travel smaller",
			r.channel.Name, say.Width(d.WidthNS), say.Span(d.DwellNS)), span, figures)
		return
	}
	b.wrong("clip/"+r.channel.Name, fmt.Sprintf("%s stands at %d counts (%s), an end of the bus's range, where it is cut off: make its travel smaller in the transmitter",
		r.channel.Name, d.Count, say.Width(d.WidthNS)), span, figures)
}

func (r *rail) free(how string, span fact.Span, b *Book) {
	b.right("clip/"+r.channel.Name, how+" without reaching an end of the bus's range", span, nil)
}

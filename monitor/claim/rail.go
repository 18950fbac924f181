package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of travel that is cut off.
const (
	neverAtRangeEnd  = "%s never stands at an end of the bus's range"
	standsAtRangeEnd = "%s stands at %d counts (%s), an end of the bus's range, where it is cut off: make its travel " +
		"smaller in the transmitter, or the mix that takes it there"
	stoodShortOfEnd = "%s came to %s at a steady pace, stood exactly still for %s, short of the sheet's end, and left " +
		"as steadily"
	limitOrTravel = "if the stick goes on where the channel stands, raise the limit of that channel in the transmitter; " +
		"if the stick is at its stop, make its travel or rate greater"
	limitOrStop = "a limit or a stop of the stick, which can't be told from once; go there again, and look: "
)

// rail judges that a channel never stands at an end of what the bus can carry,
// where anything beyond is cut off, and that no limit cuts a stick's travel off
// before its stop. That shows only where the channel goes: each place of a switch,
// both ends of a knob. For sticks it shares a claim with the ends drill, which sees
// to it that both stops are visited.
type rail struct {
	Visited map[string]event.Span `json:"visited"` // places, and when that was seen

	channel *sheet.Channel
}

func newRail(b *Book, c *sheet.Channel) *rail {
	if _, there := b.byID[FamilyClip.ID(c.Name)]; !there {
		b.add(FamilyClip.ofChannel(c), fmt.Sprintf(neverAtRangeEnd, c.Name),
			on(DoSweep, c, ""), c.Name)
	}
	return &rail{Visited: map[string]event.Span{}, channel: c}
}

func (r *rail) see(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.TravelClippedData:
		r.clipped(e.Kind, &d, span, b)
	case event.SwitchData:
		if e.About == event.AboutSwitch.Called(r.channel.Name) && believed(d.Signal, d.Suspect) && d.Within {
			r.visit(d.To, span)
			r.free(r.channel.Name+" stood at each of its places", b)
		}
	case event.GainSweptData:
		if d.Channel == r.channel.Number && believed(d.Signal, d.Suspect) {
			r.swept(&d, span, b)
		}
	}
}

func (r *rail) visit(place string, span event.Span) {
	if _, before := r.Visited[place]; !before {
		r.Visited[place] = span
	}
}

// swept takes a movement from rest to rest in.
func (r *rail) swept(d *event.GainSweptData, span event.Span, b *Book) {
	near := handsOff * b.sheet.Tolerance.Position
	for _, p := range r.channel.Places {
		if d.LeastNS-near <= p.Width && p.Width <= d.MostNS+near {
			r.visit(p.Name, span)
		}
	}
	r.free(fmt.Sprintf("%s swept %s to %s", r.channel.Name, unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS)), b)
}

func (r *rail) clipped(kind string, d *event.TravelClippedData, span event.Span, b *Book) {
	if kind != event.TravelClipped || d.Channel != r.channel.Number || d.Signal != event.SignalLive {
		return
	}
	figures := map[string]int64{"count": d.Count, "width_ns": int64(d.WidthNS), "dwell_ns": int64(d.DwellNS)}
	if d.Short {
		r.short(d, span, figures, b)
		return
	}
	b.wrong(FamilyClip.ID(r.channel.Name), fmt.Sprintf(standsAtRangeEnd,
		r.channel.Name, d.Count, unit.FormatWidth(d.WidthNS)), span, figures)
}

// short is for a stand before the end that the sheet has, between coming and leaving at
// a steady pace. A limit does that; so does a hand as steady as a machine's at a stop, or
// at a low rate. So once shows nothing; twice at the same count is what hands don't do.
func (r *rail) short(d *event.TravelClippedData, span event.Span, figures map[string]int64, b *Book) {
	id := FamilyClip.ID(r.channel.Name)
	how := fmt.Sprintf(stoodShortOfEnd,
		r.channel.Name, unit.FormatWidth(d.WidthNS), unit.FormatDuration(d.DwellNS))
	if !d.Again {
		b.doubt(id, how+": "+limitOrStop+limitOrTravel)
		return
	}
	b.wrong(id, how+", again at the same count, as at a limit: "+limitOrTravel, span, figures)
}

// free finds for the channel once it was everywhere.
func (r *rail) free(how string, b *Book) {
	for _, p := range r.channel.Places {
		if _, visited := r.Visited[p.Name]; !visited {
			return
		}
	}
	for _, p := range r.channel.Places {
		b.right(FamilyClip.ID(r.channel.Name), how+" without reaching an end of the bus's range", r.Visited[p.Name], nil)
	}
}

func (r *rail) forget(what string, _ unit.Time) {
	if what == r.channel.Name || what == TopicAll {
		clear(r.Visited)
	}
}

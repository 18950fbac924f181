package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of edges that are measured.
const (
	claimsEdge = "%s goes from %s to %s at %s, as the sheet has it"
	edgesAlike = "%s goes from %s to %s at %s, as the sheet has it: both answer a tilt alike, so that nothing which is looked at shows where"
	edgeRight  = "%s goes from %s to %s between %s and %s (%s); the sheet has %s. Its lines, with windows: {from: measured}: %s"
	edgeWrong  = "%s goes from %s to %s between %s and %s (%s), and the sheet has %s: the sheet's windows are not the receiver's. Copy what was " +
		"measured into it, with windows: {from: measured}: %s"
	edgeApart = "%s goes from %s to %s in two places: %s. Either the receiver holds on to a mode (hysteresis), or a look was a mistake: do the " +
		"drill again; no edge is taken from it"
	edgeWide    = "%s goes from %s to %s: %s. That is wider than 10 µs from one side: do the drill again with a finer knob"
	edgeOpen    = "where %s goes from %s to %s is not known: %s"
	edgeAgainst = "where %s goes from %s to %s is not known: who looked and the servo leads did not agree (%s): do the drill again, and rock the model briskly"
	knobStays   = "the drill edges was broken off with a knob on %s: take it off, give the channel its switch again, and say so with benchproof " +
		"reopen %s; until then nothing counts that it shows"
)

// edgeWidest is how wide an edge may be that was found from one side, ns.
const edgeWidest = 10_000

// edges judges where the receiver goes from mode to mode, as it was looked at. While a channel has a knob for that,
// nothing that it shows is the switch's, so that no other judge sees it; and once the switch is back, what
// was seen of it before has to be seen again.
type edges struct {
	Running bool     `json:"running"` // the drill is under way
	Touched []string `json:"touched"` // channels of which something was hidden since they were reopened
	Knob    string   `json:"knob"`    // the channel that has a knob, "" for none

	sheet []sheet.Edge
}

func newEdges(b *Book) *edges {
	x := &edges{sheet: b.sheet.Edges()}
	for i := range x.sheet {
		e := &x.sheet[i]
		c, _ := b.sheet.Channel(e.Channel)
		claims := claimsEdge
		if e.Alike() {
			claims = edgesAlike
		}
		b.add(edgeKey(c, e.Name), fmt.Sprintf(claims, c.Name, text.ModeName(e.Below.Name), text.ModeName(e.Above.Name), declared(e)), drilled(drill.Edges))
	}
	return x
}

func edgeKey(c *sheet.Channel, edge string) key { return FamilyEdge.ofChannel(c, edge) }

// declared is where the sheet has an edge.
func declared(e *sheet.Edge) string {
	if e.Ends == e.Begins {
		return unit.FormatWidth(e.Ends)
	}
	return unit.FormatWidth(e.Ends) + " to " + unit.FormatWidth(e.Begins)
}

// hides reports that an event is about a channel which has a knob for a while, or may have one.
func (x *edges) hides(e *event.Event, b *Book) bool {
	if !x.Running && x.Knob == "" {
		return false
	}
	hidden := false
	for _, n := range b.sheet.ModeChannels() {
		if channel := name(b, n); (x.Running || channel == x.Knob) && shows(e, n, b) {
			x.touches(channel)
			hidden = true
		}
	}
	return hidden
}

func (x *edges) touches(channel string) {
	if !slices.Contains(x.Touched, channel) {
		x.Touched = append(x.Touched, channel)
	}
}

// shows reports that an event is what a mode channel shows.
func shows(e *event.Event, channel int, b *Book) bool {
	switch d := e.Data.(type) {
	case event.EdgeMeasuredData:
		return false
	case event.ModeData:
		return true
	case event.SwitchData:
		return e.About == event.AboutSwitch.Called(name(b, channel))
	case event.GestureData:
		return slices.ContainsFunc(b.sheet.Gestures, func(g sheet.Gesture) bool { return g.Name == d.Gesture && g.Channel == channel })
	case event.DrillAnsweredData:
		plan, ask := b.drills.Asked(d.Prompt)
		return plan.Name != drill.Edges && (ask.Mode != "" || ask.Channel == channel)
	}
	number, ok := event.AboutChannel.Number(e.About)
	return ok && number == channel
}

func (x *edges) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		x.Running = x.Running || e.About == event.AboutDrill.Called(drill.Edges)
	case event.DrillPromptedData:
		if _, ask := b.drills.Asked(d.Prompt); ask.Act == drill.ActKnobOn {
			x.Knob = name(b, ask.Channel)
			x.touches(x.Knob)
		}
	case event.DrillAnsweredData:
		if _, ask := b.drills.Asked(d.Prompt); ask.Act == drill.ActKnobOff {
			x.Knob = ""
			x.anew(b)
		}
	case event.DrillEndedData:
		if x.Running && e.About == event.AboutDrill.Called(drill.Edges) {
			x.ended(b)
		}
	case event.EdgeMeasuredData:
		x.measured(&d, event.Span{From: e.From, To: e.At}, b)
	}
}

// anew has what rests on the channels seen again.
func (x *edges) anew(b *Book) {
	touched, knob := x.Touched, x.Knob
	x.Touched = nil
	for _, channel := range touched {
		b.reopen(channel)
	}
	x.Knob = knob
}

// ended is for the end of the drill, with a knob on a channel or without.
func (x *edges) ended(b *Book) {
	x.Running = false
	x.anew(b)
	if x.Knob == "" {
		return
	}
	for _, c := range b.claims {
		if slices.Contains(c.topics, x.Knob) {
			b.unclear(c.ID, fmt.Sprintf(knobStays, x.Knob, x.Knob))
		}
	}
}

// measured judges an edge.
//
//	sheet     |            |    Ends to Begins, mostly one width
//	found  [----]      [--]     from below and from above together
//	        right       wrong
func (x *edges) measured(d *event.EdgeMeasuredData, span event.Span, b *Book) {
	i := slices.IndexFunc(x.sheet, func(e sheet.Edge) bool { return e.Channel == d.Channel && e.Name == d.Edge })
	if i < 0 {
		return
	}
	e, found := &x.sheet[i], event.EdgeFound(d)
	c, _ := b.sheet.Channel(d.Channel)
	id := edgeKey(c, d.Edge).id()
	where := []any{c.Name, text.ModeName(d.Below), text.ModeName(d.Above)}
	switch {
	case d.FromNS == 0:
		b.unclear(id, fmt.Sprintf(edgeOpen, append(where, found)...))
		return
	case d.Up.Against+d.Down.Against > 0:
		b.unclear(id, fmt.Sprintf(edgeAgainst, append(where, found)...))
		return
	case !d.Agrees && max(d.Up.ToNS-d.Up.FromNS, d.Down.ToNS-d.Down.FromNS) > edgeWidest:
		b.unclear(id, fmt.Sprintf(edgeWide, append(where, found)...))
		return
	case !d.Agrees:
		b.unclear(id, fmt.Sprintf(edgeApart, append(where, found)...))
		return
	}
	figures := map[string]int64{"from_ns": int64(d.FromNS), "to_ns": int64(d.ToNS)}
	where = append(where, unit.FormatWidth(d.FromNS), unit.FormatWidth(d.ToNS), found, declared(e), strings.Join(d.Lines, "; "))
	if e.Ends <= d.ToNS && e.Begins >= d.FromNS {
		b.right(id, fmt.Sprintf(edgeRight, where...), span, figures)
		return
	}
	b.wrong(id, fmt.Sprintf(edgeWrong, where...), span, figures)
}

func (x *edges) forget(what string, _ unit.Time) {
	if what == TopicAll || what == x.Knob {
		x.Knob = ""
	}
}

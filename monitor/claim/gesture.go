package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// leastSitting is how long a thing that must never happen must have been watched
// for before its absence counts as seen.
const leastSitting = 10 * fact.Second

// atTheEnd is how such a claim comes to be seen.
const atTheEnd = "go on listening: what must never happen is judged at the end of the sitting"

// gesture judges that a movement which starts something in the receiver is made
// only when it is meant to be.
type gesture struct {
	Live  fact.Time `json:"live_ns"` // watched for so long, up to the latest end of a session
	Since fact.Time `json:"since_ns"`

	gesture *sheet.Gesture
	topic   string // its channel
}

func newGesture(b *Book, i int) *gesture {
	g := &gesture{gesture: &b.sheet.Gestures[i]}
	c, _ := b.sheet.Channel(g.gesture.Channel)
	g.topic = c.Name
	if g.gesture.Allowed != "always" {
		b.add("gesture/"+g.gesture.Name, fmt.Sprintf("%s is not set off by %s outside its drill", g.gesture.Name, c.Name), atTheEnd, "", c.Name)
	}
	return g
}

func (g *gesture) forget(what string, at fact.Time) {
	if what == Everything || what == g.topic {
		g.Live, g.Since = 0, at
	}
}

func (g *gesture) see(e *fact.Event, b *Book) {
	switch d := e.Data.(type) {
	case fact.GestureData:
		if d.Gesture != g.gesture.Name || !believed(d.Signal, d.Suspect) || d.InDrill && g.gesture.Allowed == "in-drill" {
			return
		}
		b.wrong("gesture/"+g.gesture.Name, fmt.Sprintf("%s was set off: %d movements within %s; put its channel on a momentary switch of two positions in the transmitter, or keep your hand off it",
			g.gesture.Name, d.Times, say.Span(d.SpanNS)), fact.Span{From: e.From, To: e.At}, map[string]int64{"times": int64(d.Times), "span_ns": int64(d.SpanNS)})
	case fact.SessionData:
		g.Since = e.At
	}
	if e.Kind == fact.SessionEnded {
		g.Live += e.At - g.Since
		if g.Live >= leastSitting {
			b.right("gesture/"+g.gesture.Name, fmt.Sprintf("%s was not set off in %s of watching", g.gesture.Name, say.Span(g.Live)),
				fact.Span{From: g.Since, To: e.At}, map[string]int64{"watched_ns": int64(g.Live)})
		}
	}
}

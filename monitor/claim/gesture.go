package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of gestures.
const (
	notSetOffOutsideDrill = "%s is not set off by %s outside its drill"
	wasSetOff             = "%s was set off: %d movements within %s; %s"
	keepHandOff           = "keep your hand off it, and see that nothing else drives channel %d in the transmitter"
	useMomentarySwitch    = "put its channel on a momentary switch of two positions in the transmitter, or keep your " +
		"hand off it"
	wasNotSetOff = "%s was not set off in %s in which %s was heard"
)

// gesture judges that a movement which starts something in the receiver is made
// only when it is meant to be. That it never was needs ten minutes in which its
// channel was heard on one tap, and a channel that moved: another may drive it.
type gesture struct {
	Watched exposures `json:"watched"`

	gesture *sheet.Gesture
	channel *sheet.Channel
}

func newGesture(b *Book, i int) *gesture {
	g := &gesture{gesture: &b.sheet.Gestures[i]}
	g.channel, _ = b.sheet.Channel(g.gesture.Channel)
	if g.gesture.Allowed != "always" {
		b.add(FamilyGesture.of(g.gesture.Name), fmt.Sprintf(notSetOffOutsideDrill, g.gesture.Name, g.channel.Name), listenOn(leastGesture), g.channel.Name)
	}
	return g
}

func (g *gesture) id() string { return FamilyGesture.ID(g.gesture.Name) }

func (g *gesture) forget(what string, at unit.Time) {
	if what == TopicAll || what == g.channel.Name {
		g.Watched.forget(at)
	}
}

func (g *gesture) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.GestureData:
		if d.Gesture != g.gesture.Name || !believed(d.Signal, d.Suspect) || d.InDrill && g.gesture.Allowed == "in-drill" {
			return
		}
		b.wrong(g.id(), fmt.Sprintf(wasSetOff,
			g.gesture.Name, d.Times, unit.FormatDuration(d.SpanNS), g.remedy()),
			event.Span{From: e.From, To: e.At}, map[string]int64{"times": int64(d.Times), "span_ns": int64(d.SpanNS)})
	case event.ExposureData:
		if x := g.Watched.add(e, &d); x != nil {
			g.judge(x, e.At, b)
		}
	}
	if e.Kind == event.SessionEnded && len(g.Watched.Taps) == 0 {
		g.judge(&exposure{}, e.At, b)
	}
}

// remedy keeps a movement from being made by chance. A momentary switch is one already.
func (g *gesture) remedy() string {
	if g.channel.Kind == sheet.Momentary {
		return fmt.Sprintf(keepHandOff, g.channel.Number)
	}
	return useMomentarySwitch
}

// judge says that it never happened, or what is lacking before that says anything.
func (g *gesture) judge(x *exposure, at unit.Time, b *Book) {
	moves := ""
	if !slices.Contains(x.Moved, g.channel.Number) {
		moves = fmt.Sprintf("%s never moved: work its switch once", g.channel.Name)
	}
	time := lacksTime(x.Live, leastGesture)
	if moves != "" || time != "" {
		b.unclear(g.id(), lacking(fmt.Sprintf("%s was not set off so far", g.gesture.Name), time, moves))
		return
	}
	b.right(g.id(), fmt.Sprintf(wasNotSetOff, g.gesture.Name, unit.FormatDuration(x.Live), g.channel.Name),
		x.span(at), map[string]int64{"watched_ns": int64(x.Live)})
}

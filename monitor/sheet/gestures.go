package sheet

// Gesture is a movement of a switch that makes the receiver do something, such
// as learning the limits of travel.
type Gesture struct {
	Name    string
	Channel int
	From    string // the place it starts from and comes back to
	To      string // the place it goes to; "": any other place of the channel
	Times   int    // how often it leaves From
	Within  int64  // ns, from the first leaving to the last coming back
	Allowed string // "in-drill", "never" or "always"
}

func (r *reader) gestures(n *node) {
	if n == nil {
		return
	}
	for _, e := range r.entries(n, "gestures", "limit-learning: {channel: learn, from: rest, to: pressed, times: 3, within: 3s, allowed: in-drill}, or the key left out,") {
		r.sheet.Gestures = append(r.sheet.Gestures, r.gesture(e))
	}
}

func (r *reader) gesture(e entry) Gesture {
	var g Gesture
	g.Name, _ = r.name(e.key, "a gesture name")
	rec := r.record(e.value, "gesture "+e.key.text, "channel", "from", "to", "times", "within", "allowed")
	c, ok := r.channel(rec.need("channel", "learn"))
	rec.need("from", "rest")
	if ok {
		g.Channel = c.Number
		r.gesturePlaces(&g, rec, c)
	}
	const mostTimes = 20
	g.Times, _ = r.whole(rec.need("times", "3"), "how often the switch moves", 1, mostTimes)
	g.Within, _ = r.between(rec.need("within", "3s"), spans, millisecond, minute, "a time from 1ms to 60s")
	g.Allowed, _ = r.choice(rec.need("allowed", "in-drill"), "in-drill", "never", "always")
	return g
}

func (r *reader) gesturePlaces(g *Gesture, rec *record, c *Channel) {
	if !r.pressable(rec.maybe("channel"), c, "a gesture") {
		return
	}
	start, _ := r.place(rec.maybe("from"), c)
	end, _ := r.place(rec.maybe("to"), c)
	g.From, g.To = start.Name, end.Name
	if g.From != "" && g.From == g.To {
		r.refuse(rec.maybe("to"), "a gesture from "+g.From+" to "+g.To, "another position to go to")
	}
}

const (
	millisecond int64 = 1_000_000
	minute      int64 = 60_000_000_000
)

package sheet

import "benchproof.example/monitor/unit"

// Gesture is a movement of a switch that makes the receiver do something, such
// as learning the limits of travel.
type Gesture struct {
	Name    string
	Channel int
	From    string        // the place it starts from and comes back to
	To      string        // the place it goes to; "": any other place of the channel
	Times   int           // how often it leaves From
	Within  unit.Duration // ns, from the first leaving to the last coming back
	Allowed string        // "in-drill", "never" or "always"
	Then    []string      // what the receiver's manual has the builder do next, step by step
}

func (r *reader) gestures(n *node) {
	if n == nil {
		return
	}
	const like = "limit-learning: {channel: teach, from: rest, to: pressed, times: 2, within: 5s, allowed: in-drill}, " +
		"or the key left out,"
	for _, e := range r.entries(n, "gestures", like) {
		r.sheet.Gestures = append(r.sheet.Gestures, r.gesture(e))
	}
}

func (r *reader) gesture(e entry) Gesture {
	var g Gesture
	g.Name, _ = r.name(e.key, "a gesture name")
	rec := r.record(e.value, "gesture "+e.key.text, "channel", "from", "to", "times", "within", "allowed", "then")
	c, ok := r.channel(rec.need("channel", "teach"))
	rec.need("from", "rest")
	if ok {
		g.Channel = c.Number
		r.gesturePlaces(&g, rec, c)
	}
	const mostTimes = 20
	g.Times, _ = r.whole(rec.need("times", "2"), "how often the switch moves", 1, mostTimes)
	g.Within, _ = r.duration(rec.need("within", "5s"))
	g.Allowed, _ = r.choice(rec.need("allowed", "in-drill"), "in-drill", "never", "always")
	for _, n := range r.list(rec.maybe("then"), "a list of steps, each a text in quotes,", 1) {
		if step, ok := r.text(n, "a step of the receiver's procedure"); ok {
			g.Then = append(g.Then, step)
		}
	}
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

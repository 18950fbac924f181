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
	Holds   unit.Duration // ns: how long it stays away each time at least; 0: as short as can be seen
	While   []Setting     // where other controls are all the while
	Allowed string        // "in-drill", "never" or "always"
	Then    []string      // what the receiver's manual has the builder do next, step by step
}

func (r *reader) gestures(n *node) {
	for _, e := range r.entries(n) {
		r.sheet.Gestures = append(r.sheet.Gestures, r.gesture(e))
	}
}

func (r *reader) gesture(e entry) Gesture {
	var g Gesture
	g.Name, _ = r.name(e.key)
	rec := r.record(e.value, "gesture "+e.key.text)
	c, ok := r.channel(rec.get("channel"))
	rec.get("from")
	if ok {
		g.Channel = c.Number
		r.gesturePlaces(&g, rec, c)
	}
	g.Times, _ = r.whole(rec.get("times"))
	g.Within, _ = r.duration(rec.get("within"))
	g.Holds, _ = r.duration(rec.get("holds"))
	for _, e := range r.entries(rec.get("while")) {
		if other, known := r.channel(e.key); known {
			if p, ok := r.place(e.value, other); ok {
				g.While = append(g.While, Setting{other.Number, p.Name, p.Width})
			}
		}
	}
	g.Allowed, _ = r.choice(rec.get("allowed"))
	for _, n := range r.list(rec.get("then")) {
		if step, ok := r.text(n); ok {
			g.Then = append(g.Then, step)
		}
	}
	return g
}

func (r *reader) gesturePlaces(g *Gesture, rec *record, c *Channel) {
	if !r.pressable(rec.get("channel"), c, "a gesture") {
		return
	}
	start, _ := r.place(rec.get("from"), c)
	end, _ := r.place(rec.get("to"), c)
	g.From, g.To = start.Name, end.Name
	if g.From != "" && g.From == g.To {
		r.refuse(rec.get("to"), "a gesture from "+g.From+" to "+g.To, "another position to go to")
	}
}

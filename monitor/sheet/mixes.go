package sheet

import "benchproof.example/monitor/unit"

// Mix is a mix in the transmitter that the builder wants: while From moves from its
// neutral to an end, To may move along by at most AtMost ns; of a throttle, from end to end.
type Mix struct {
	From, To int // channel numbers
	AtMost   unit.Width
}

func (r *reader) mixes(n *node) {
	for _, item := range r.list(n) {
		var m Mix
		rec := r.record(item, "a wanted mix")
		from, okFrom := r.channel(rec.get("from"))
		to, okTo := r.channel(rec.get("to"))
		if okFrom && okTo {
			m.From, m.To = from.Number, to.Number
			if from == to {
				r.refuse(rec.get("to"), "a mix of "+to.Name+" to itself", "another channel")
			}
		}
		m.AtMost, _ = r.ownWidth(rec.get("at_most"))
		r.sheet.Mixes = append(r.sheet.Mixes, m)
	}
}

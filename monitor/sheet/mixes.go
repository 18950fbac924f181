package sheet

import "benchproof.example/monitor/unit"

// Mix is a mix in the transmitter that the builder wants: while From moves from its
// neutral to an end, To may move along by at most AtMost ns; of a throttle, from end to end.
type Mix struct {
	From, To int // channel numbers
	AtMost   unit.Width
}

func (r *reader) mixes(n *node) {
	for _, item := range r.list(n, "a list such as [{from: flaps, to: elevator, at_most: 60 us}], or []", 0) {
		var m Mix
		rec := r.record(item, "a wanted mix", "from", "to", "at_most")
		from, okFrom := r.channel(rec.need("from", "flaps"))
		to, okTo := r.channel(rec.need("to", "elevator"))
		if okFrom && okTo {
			m.From, m.To = from.Number, to.Number
			if from == to {
				r.refuse(rec.maybe("to"), "a mix of "+to.Name+" to itself", "another channel")
			}
		}
		const most = 2_000_000
		m.AtMost, _ = r.widthBetween(rec.need("at_most", "60 us"), 1, most, "a travel above 0 and up to "+micros(most))
		r.sheet.Mixes = append(r.sheet.Mixes, m)
	}
}

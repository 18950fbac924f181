package draft

import (
	"slices"

	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

const (
	termLeast = 20_000 // ppm that a channel moves an output by to be named
	surely    = 3      // times its own doubt
	sureOpen  = 25_000 // ppm of doubt that a term of a fit which leaves much out may have
)

// Output is what moves one output.
type Output struct {
	Number int
	Terms  []mix.Term // of channels in the sheet that move it
	Rest   unit.Width // its width with every channel at rest
	Torn   bool       // more of its pulses than should did not fit
}

// outputs finds what moves each output that was heard.
func (c *Conversation) outputs() (list []Output) {
	for _, n := range c.Heard.Outputs {
		o := Output{Number: n}
		if fit, ok := c.Heard.Log.Fit(n, 0, -1); ok {
			o.Rest = fit.Neutral
			o.Terms = c.named(fit.Terms)
			if len(o.Terms) == 0 { // sticks were moved one by one: what is this sure is so
				o.Terms = c.named(slices.DeleteFunc(fit.Open, func(t mix.Term) bool { return t.HalfInterval > sureOpen }))
				o.Torn = len(o.Terms) > 0
			}
		}
		list = append(list, o)
	}
	return list
}

// named are the terms of channels that are in the sheet, where they move the output.
func (c *Conversation) named(terms []mix.Term) (list []mix.Term) {
	for _, t := range terms {
		size := max(t.PPM, -t.PPM)
		if size >= termLeast && size > surely*t.HalfInterval && c.Model.taken(t.Channel) != "" {
			list = append(list, t)
		}
	}
	return list
}

// moves reports that a control moves the output.
func (o *Output) moves(channel int) bool {
	for _, t := range o.Terms {
		if t.Channel == channel {
			return true
		}
	}
	return false
}

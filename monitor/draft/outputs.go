package draft

import (
	"slices"

	"benchproof.example/monitor/fit/mix"
)

const (
	termLeast = 20_000 // ppm that a channel moves an output by to be named
	surely    = 3      // times its own doubt
)

// Output is what moves one output.
type Output struct {
	Number int
	Terms  []mix.Term // of channels in the sheet that move it
}

// outputs finds what moves each output that was heard.
func (c *Conversation) outputs() (list []Output) {
	for _, n := range c.Heard.Outputs {
		o := Output{Number: n}
		fit, _ := c.Heard.Log.Fit(n, 0, -1)
		o.Terms = append(c.named(fit.Terms), c.atRest(n, fit.Terms)...)
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

// atRest are the terms of channels that a fit is not sure of and that show from still to still.
func (c *Conversation) atRest(output int, sure []mix.Term) (list []mix.Term) {
	stills := c.Heard.Stills[output]
	for n := 1; stills != nil && n <= c.Heard.protocol.Channels; n++ {
		if slices.ContainsFunc(sure, func(t mix.Term) bool { return t.Channel == n }) {
			continue
		}
		if ppm, ok := stills.slope(n - 1); ok {
			list = append(list, c.named([]mix.Term{{Channel: n, PPM: ppm, HalfInterval: slopesApart / 10}})...)
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

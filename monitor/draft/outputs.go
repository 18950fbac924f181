package draft

import (
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

const (
	termLeast = 20_000 // ppm that a channel moves an output by to be named
	surely    = 3      // times its own doubt
)

// Output is what moves one output.
type Output struct {
	Number int
	Terms  []mix.Term // of channels in the sheet that move it
	Rest   unit.Width // its width with every channel at rest
}

// outputs finds what moves each output that was heard.
func (c *Conversation) outputs() (list []Output) {
	for _, n := range c.Heard.Outputs {
		o := Output{Number: n}
		if fit, ok := c.Heard.Log.Fit(n, 0, -1); ok {
			o.Rest = fit.Neutral
			o.Terms = c.named(fit.Terms)
			o.Terms = append(o.Terms, c.atRest(n, fit.Open)...)
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

// atRest are the terms that a fit leaves open and that show from still to still.
func (c *Conversation) atRest(output int, open []mix.Term) (list []mix.Term) {
	stills := c.Heard.Stills[output]
	for _, t := range open {
		if stills == nil {
			break
		}
		if ppm, ok := stills.slope(t.Channel - 1); ok {
			list = append(list, c.named([]mix.Term{{Channel: t.Channel, PPM: ppm, HalfInterval: slopesApart / 10}})...)
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

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
			for _, t := range fit.Terms {
				size := max(t.PPM, -t.PPM)
				if size >= termLeast && size > surely*t.HalfInterval && c.Model.taken(t.Channel) != "" {
					o.Terms = append(o.Terms, t)
				}
			}
		}
		list = append(list, o)
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

// Package trace makes of frames and pulses what a strip of the last minutes is drawn from:
// columns of 50 ms, and in each how far each channel, or output, went.
//
//	frames   . . . . . . | . . . . . . |             | . .      wire time, one tap
//	column       812     |     813     | (none: gap) |   815    number: wire time / 50 ms
//	channel 3  1500 1500 | 1500 1730   |             | 1500 1500   least and greatest, µs
//
// All of it is a fold: it has no clock and starts nothing, so columns of what is heard now are
// those of the recording. Damaged frames are left out.
package trace

import "benchproof.example/monitor/unit"

// Step is how long a column lasts.
const Step = 50 * unit.Millisecond

// NotHeard stands for both ends of a channel that nothing was heard of.
const NotHeard = -1

// Column is what one tap carried in one step, of which something was heard.
type Column struct {
	Number int64 // bench time / the step
	// Ends has the least and the greatest width of channel, or output, 1, then those of 2 and so
	// on, whole µs from 0 to 32767; NotHeard twice where nothing was heard of it. A digital channel
	// without places has 0 for off and 1 for on.
	Ends []int16
}

// grow has room for n channels.
func (c *Column) grow(n int) {
	for len(c.Ends) < 2*n {
		c.Ends = append(c.Ends, NotHeard)
	}
}

// add takes a column of the same time, or of a part of it.
func (c *Column) add(ends []int16) {
	c.grow(len(ends) / 2)
	for i := 0; i < len(ends); i += 2 {
		if ends[i] == NotHeard {
			continue
		}
		if c.Ends[i] == NotHeard || ends[i] < c.Ends[i] {
			c.Ends[i] = ends[i]
		}
		c.Ends[i+1] = max(c.Ends[i+1], ends[i+1])
	}
}

// micros is a width as columns have it: to the nearest µs, within what they can hold.
func micros(w unit.Width) int16 {
	const most = 1<<15 - 1
	return int16(min(max((w+500)/1000, 0), most))
}

// Package mix finds what a receiver makes of the channels: from free movement
// of the sticks, the width of an output's pulses as a sum over channels, with its
// limits, dead bands and delay, and how sure each slope is.
//
//	          High  ________          width = Neutral + sum of slope * (channel - its neutral)
//	               /                  cut off at Low and High,
//	          ____/  dead band        seen Delay after the channels were on the bus
//	         /
//	________/  Low
//
// A Log takes frames and pulses as they come and keeps short episodes of movement,
// a bounded number, spread over the channels and their ranges. Fit reads them for
// one output. Nothing here knows a clock or a sheet. What is kept is integers, and
// the same log gives the same fit; a Log is its own checkpoint, as plain JSON.
package mix

import "benchproof.example/monitor/unit"

// Channel is one that may move an output.
type Channel struct {
	Number  int        `json:"number"`
	Neutral unit.Width `json:"neutral"` // ns: where it stands for Fit.Neutral
	Centred bool       `json:"centred"` // it rests there, so a dead band may lie about it
}

// Fit is what was found of one output. Widths and times are ns.
type Fit struct {
	From    unit.Time  // date of the first episode that it rests on
	Terms   []Term     // of the channels that are reported, in the order of the log
	Open    []Term     // of those that moved, but are not reported: what they seem to do, and how unsure that is
	Unmoved []int      // numbers of those that have not moved far enough, or not apart from another
	Neutral unit.Width // width with every channel at its neutral
	Sum     unit.Width // the same as if there were no limits
	Low     Limit
	High    Limit
	Least   unit.Width // widths seen, single odd ones left out
	Most    unit.Width
	Dead    unit.Width    // channel movement about neutral that leaves the output where it is; 0: none seen
	Delay   unit.Duration // from the end of a frame to the rise of the pulse; -1: nothing that was reported moves the output
	Off     unit.Width    // how far half of the widths lie from the sum
	Samples int64
}

// Term is what one channel does.
type Term struct {
	Channel      int
	PPM          int64 // pulse travel against channel travel, parts per million
	HalfInterval int64 // half of the interval in which it lies, 95 %, ppm
}

// Limit is where an output stands flat while its channels go on.
type Limit struct {
	Width    unit.Width // ns; 0: none seen
	At       unit.Time  // date at which the channels went farthest beyond
	Beyond   unit.Width // how much farther the channels would have taken it
	Channels []int      // that went on, ascending; all of them are reported
}

// Package share has the share of frames that a receiver missed, with its doubt. Frames are
// missed in bursts, so an interval that takes each for itself is several times too narrow;
// here the doubt is what twelve batches of the time differ by.
package share

import (
	"math"

	"benchproof.example/monitor/fit/student"
)

const (
	// Batches is how many stretches of time are compared.
	Batches = 12
	// MinBursts is the fewest bursts that an interval holds for; of fewer only the count is
	// said.
	MinBursts = 20
)

// Slot is what a stretch of time had.
type Slot struct {
	Missed, Frames int64
}

// Interval is a share, in parts per million, and where the true one lies, 95 % sure: the low
// end is rounded down, the high one up.
type Interval struct {
	PPM, Low, High int64
}

// Of is the share of missed frames in slots that are equally long and in order, Batches or any
// larger number of them, in which so many bursts were counted. False: too few bursts, or too
// few slots that have frames. It holds where what makes bursts more or less frequent for some
// minutes comes often within a batch: of bad spells of 5 minutes in each 20, for 12 h or more.
func Of(slots []Slot, bursts int64) (Interval, bool) {
	batches := batchesOf(slots)
	if bursts < MinBursts || batches == nil {
		return Interval{}, false
	}
	share, effective, _ := effectiveFrames(batches)
	low, high := clopperPearson(float64(share*effective), effective)
	return Interval{
		PPM:  int64(math.Round(share * 1e6)),
		Low:  int64(math.Floor(low * 1e6)),
		High: int64(math.Ceil(high * 1e6)),
	}, true
}

// batchesOf puts the slots that have frames into Batches as equal as can be; nil: too few.
func batchesOf(slots []Slot) []Slot {
	var heard []Slot
	for _, s := range slots {
		if s.Frames > 0 {
			heard = append(heard, s)
		}
	}
	if len(heard) < Batches {
		return nil
	}
	batches := make([]Slot, Batches)
	for i, s := range heard {
		b := &batches[i*Batches/len(heard)]
		b.Missed, b.Frames = b.Missed+s.Missed, b.Frames+s.Frames
	}
	return batches
}

// effectiveFrames is the share of missed frames in batches and how many frames, each missed or
// not by itself, would show it as surely (Korn and Graubard); inflation is by how much the
// variance exceeds that of such frames.
func effectiveFrames(batches []Slot) (share, effective, inflation float64) {
	const freedom = Batches - 1
	var all Slot
	for _, b := range batches {
		all.Missed, all.Frames = all.Missed+b.Missed, all.Frames+b.Frames
	}
	frames := float64(all.Frames)
	share = float64(all.Missed) / frames
	inflation = 1
	if 0 < share && share < 1 {
		inflation = max(1, variance(batches)/Batches/(share*(1-share)/frames))
	}
	wider := student.Quantile(1-tail, freedom) / normalQuantile
	return share, frames / (inflation * wider * wider), inflation
}

// normalQuantile is what a normal deviate does not exceed in 97.5 % of cases.
const normalQuantile = 1.959963984540054

// variance is that of the shares of batches.
func variance(batches []Slot) float64 {
	var mean, squares float64
	for _, b := range batches {
		mean += float64(b.Missed) / float64(b.Frames) / Batches
	}
	for _, b := range batches {
		d := float64(b.Missed)/float64(b.Frames) - mean
		squares += float64(d * d)
	}
	return squares / (Batches - 1)
}

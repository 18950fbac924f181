package watch

import (
	"slices"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

const (
	jumpChannels = 3  // so many at once is many
	jumpCounts   = 32 // and so far is a leap: 20 µs at the common scale
	jumpStill    = 20 // frames that stand still after it
	singleCounts = 4  // so far is a movement, not a tremor
)

// Jump looks for what a receiver's presets look like: many channels leap from
// one frame to the next and then stand still. Hands don't do that. What such a
// jump reaches proves nothing until channels move again one at a time.
//
//	ch 3   ----------+
//	                 |
//	                 +---------------------------
//	ch 10            +---------------------------
//	       ----------+
//	       suspect:  ^.............................until single moves
type Jump struct {
	Tap    uint8
	Have   bool
	Counts [servobus.Channels]uint16 // of the last judged frame

	Still   int // frames still to stand; 0: no jump under way
	At      fact.Time
	Signal  fact.Signal
	Leapt   []int
	Came    []uint16
	Arrived []uint16

	Moved bool // the frame before was the first after a single movement
}

// See implements Watcher.
func (j *Jump) See(o *fact.Observation, v *View, emit fact.Emit) {
	if !judged(o, j.Tap) {
		return
	}
	leapt, moved := j.compare(&o.Frame.Counts)
	t := &v.Taps[j.Tap]
	switch {
	case !j.Have:
	case leapt >= jumpChannels:
		j.begin(o)
		t.Suspect = true
	case j.Still > 0:
		j.watch(o, t, emit)
	case t.Suspect:
		j.clear(moved, signalOf(o.Frame), t)
	}
	j.Have, j.Counts = true, o.Frame.Counts
}

// compare counts the channels that leapt and those that moved at all.
func (j *Jump) compare(c *[servobus.Channels]uint16) (leapt, moved int) {
	if *c == j.Counts {
		return 0, 0
	}
	for i := range c {
		switch d := abs(int64(c[i]) - int64(j.Counts[i])); {
		case d >= jumpCounts:
			leapt++
			moved++
		case d >= singleCounts:
			moved++
		}
	}
	return leapt, moved
}

func (j *Jump) begin(o *fact.Observation) {
	j.Still, j.Moved, j.At, j.Signal = jumpStill, false, o.Wire, signalOf(o.Frame)
	j.Leapt, j.Came, j.Arrived = j.Leapt[:0], j.Came[:0], j.Arrived[:0]
	for i, c := range o.Frame.Counts {
		if abs(int64(c)-int64(j.Counts[i])) >= jumpCounts {
			j.Leapt = append(j.Leapt, i+1)
			j.Came = append(j.Came, j.Counts[i])
			j.Arrived = append(j.Arrived, c)
		}
	}
}

func (j *Jump) watch(o *fact.Observation, t *Tap, emit fact.Emit) {
	for i, ch := range j.Leapt {
		if abs(int64(o.Frame.Counts[ch-1])-int64(j.Arrived[i])) >= singleCounts {
			j.Still, t.Suspect = 0, false // hands after all
			return
		}
	}
	if j.Still--; j.Still > 0 {
		return
	}
	emit(fact.ValuesJumped, j.At, t.About(), fact.JumpData{
		Tap: t.Name, Channels: slices.Clone(j.Leapt), From: slices.Clone(j.Came), To: slices.Clone(j.Arrived), Signal: j.Signal,
	})
}

// clear lifts a suspicion once one or two channels have moved and the next frame
// does not take that back: one frame settles nothing.
func (j *Jump) clear(moved int, signal fact.Signal, t *Tap) {
	if j.Moved && moved <= 2 {
		t.Suspect = false
	}
	j.Moved = signal == fact.Live && (moved == 1 || moved == 2)
}

// Due implements Watcher.
func (j *Jump) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (j *Jump) Expire(fact.Time, *View, fact.Emit) {}

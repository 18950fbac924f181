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
	Wire   fact.Time                 // of the last judged frame
	Counts [servobus.Channels]uint16 // and its values
	Before [servobus.Channels]uint16 // and those of the one before

	Still   int // frames still to stand; 0: no jump under way
	Wobbled bool
	At      fact.Time
	Was     bool // the suspicion before it
	Leapt   []int
	Came    []uint16
	Arrived []uint16

	Moved bool // the frame before was the first after a single movement

	frame servobus.Frame // what is looked at, without the heartbeat
	seen  fact.Observation
}

// See implements Watcher.
func (j *Jump) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, j.Tap) {
		j.Have, j.Still = false, 0
		return
	}
	if !judged(o, j.Tap) {
		return
	}
	t := &v.Taps[j.Tap]
	if t.Signal != fact.Live || signalOf(o.Frame) != fact.Live { // flags tell whose values these are
		j.flagged(t)
		return
	}
	if h := v.Sheet.Heartbeat; h != nil {
		o = j.without(o, h.Channel)
	}
	if j.Have && o.Wire-j.Wire <= apart {
		j.compare(o, t, emit)
	} else {
		j.Still, j.Moved = 0, false
		j.Before = o.Frame.Counts
	}
	j.Before, j.Counts = j.Counts, o.Frame.Counts
	j.Have, j.Wire = true, o.Wire
}

// flagged gives up what was looked at once a flag has stood for four frames. Frames
// that were missed now and then are passed over.
func (j *Jump) flagged(t *Tap) {
	if t.Signal == fact.Live {
		return
	}
	if j.Still > 0 {
		t.Suspect = j.Was
	}
	j.Have, j.Still, j.Moved = false, 0, false
}

// without leaves a channel out: a heartbeat leaps by itself, when its sawtooth
// begins anew, whatever moves at the same time.
func (j *Jump) without(o *fact.Observation, channel int) *fact.Observation {
	j.frame, j.seen = *o.Frame, *o
	j.frame.Counts[channel-1] = 0
	j.seen.Frame = &j.frame
	return &j.seen
}

func (j *Jump) compare(o *fact.Observation, t *Tap, emit fact.Emit) {
	leapt, moved := differ(&o.Frame.Counts, &j.Counts)
	switch {
	case j.Still > 0 && j.returned(&o.Frame.Counts):
		j.Still, t.Suspect = 0, j.Was // one frame was wrong
	case leapt >= jumpChannels:
		j.begin(o, t)
	case j.Still > 0:
		j.watch(o, t, emit)
	case t.Suspect:
		j.clear(o, moved, t)
	}
}

// differ counts the channels that leapt and those that moved at all.
func differ(a, b *[servobus.Channels]uint16) (leapt, moved int) {
	if *a == *b {
		return 0, 0
	}
	for i := range a {
		switch d := abs(int64(a[i]) - int64(b[i])); {
		case d >= jumpCounts:
			leapt++
			moved++
		case d >= singleCounts:
			moved++
		}
	}
	return leapt, moved
}

func (j *Jump) begin(o *fact.Observation, t *Tap) {
	if j.Still == 0 {
		j.Was = t.Suspect
	}
	t.Suspect = true
	j.Still, j.Wobbled, j.Moved, j.At = jumpStill, false, false, o.Wire
	j.Leapt, j.Came, j.Arrived = j.Leapt[:0], j.Came[:0], j.Arrived[:0]
	for i, c := range o.Frame.Counts {
		if abs(int64(c)-int64(j.Counts[i])) >= jumpCounts {
			j.Leapt = append(j.Leapt, i+1)
			j.Came = append(j.Came, j.Counts[i])
			j.Arrived = append(j.Arrived, c)
		}
	}
}

// returned reports that the first frame after a jump is back where it came from.
func (j *Jump) returned(c *[servobus.Channels]uint16) bool {
	if j.Still != jumpStill {
		return false
	}
	for i, ch := range j.Leapt {
		if abs(int64(c[ch-1])-int64(j.Came[i])) >= singleCounts {
			return false
		}
	}
	return true
}

// watch waits for the leapt channels to stand. Hands go on; one frame alone that
// strays settles nothing.
func (j *Jump) watch(o *fact.Observation, t *Tap, emit fact.Emit) {
	strays := false
	for i, ch := range j.Leapt {
		strays = strays || abs(int64(o.Frame.Counts[ch-1])-int64(j.Arrived[i])) >= singleCounts
	}
	if strays && j.Wobbled {
		j.Still, t.Suspect = 0, j.Was
		return
	}
	if j.Wobbled = strays; strays {
		return
	}
	if j.Still--; j.Still > 0 {
		return
	}
	emit(fact.ValuesJumped, j.At, t.About(), fact.JumpData{
		Tap: t.Name, Channels: slices.Clone(j.Leapt), From: slices.Clone(j.Came), To: slices.Clone(j.Arrived), Signal: fact.Live,
	})
}

// clear lifts a suspicion once one or two channels have moved and the next frame
// does not take that back: one frame settles nothing, and its way back is no
// movement either.
func (j *Jump) clear(o *fact.Observation, moved int, t *Tap) {
	before := j.Moved
	j.Moved = moved == 1 || moved == 2
	if !before || moved > 2 {
		return
	}
	if _, away := differ(&o.Frame.Counts, &j.Before); away > 0 {
		t.Suspect = false
	} else {
		j.Moved = false
	}
}

// Due implements Watcher.
func (j *Jump) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (j *Jump) Expire(fact.Time, *View, fact.Emit) {}

package link

import (
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	jumpCounts   = 32 // and so many quanta are a leap: 20 µs
	jumpLinked   = 7  // live frames in a row: up to three wrong ones may come before the first of a link
	jumpStill    = 20 // frames that stand still after it
	singleCounts = 4  // so many quanta are a movement, not a tremor
	singly       = 2  // this many channels at once are moved by hands

	// jumpBeats is how long a heartbeat beats behind a jump, without a pause, until what was
	// reached is the transmitter's: presets move no channel. Nothing else would end the suspicion
	// on a bench at rest.
	jumpBeats = 5 * unit.Second
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
//
// A heartbeat that beats on is the transmitter's doing too.
//
// Values that stand elsewhere behind a stretch that was not heard, or was read late, may have
// leapt so in it: nobody saw how they came there.
type Jump struct {
	Tap    uint8
	Have   int        // live frames in a row, up to jumpLinked
	Counts bus.Counts // of the one before
	Single bool       // that frame moved few channels, and the next shows whether more follow

	Hole  bool       // the next frame is the first behind a hole
	Known bool       // what stood before the latest is
	Stood bus.Counts // that

	Still   int // frames still to stand; 0: no jump under way
	At      unit.Time
	Was     bool // the suspicion before it
	Leapt   []int
	Came    []uint32
	Arrived []uint32
	Unseen  bool // the leap is one over a hole

	Beat  uint32    // what the heartbeat's channel stands at,
	Beats int       // how often it moved in the suspicion, up to heartbeatMoves,
	First unit.Time // wire time of the first of these,
	Until unit.Time // and of the latest
}

// See implements Watcher.
func (j *Jump) See(o *event.Observation, v *base.View, emit event.Emit) {
	samples := v.Cleaned(j.Tap).Ready
	for i := range samples {
		j.sample(&samples[i], v, emit)
	}
	if base.TapClosed(o, j.Tap) || o.Kind == event.InputBeat && !v.Taps[j.Tap].Locked { // what comes then begins anew
		j.restart()
	}
}

// restart forgets the frames before.
func (j *Jump) restart() { j.Have, j.Single, j.Still, j.Hole, j.Known = 0, false, 0, false, false }

func (j *Jump) sample(s *base.CleanFrame, v *base.View, emit event.Emit) {
	t := &v.Taps[j.Tap]
	switch {
	case t.Signal == "": // not known yet
		j.hole()
		return
	case t.Signal != event.SignalLive: // flags show whose values these are
		if j.Still > 0 {
			t.Suspect = j.Was
		}
		j.restart()
		return
	case s.Flags&(bus.Lost|bus.Failsafe) != 0: // missed now and then: passed over
		return
	case s.First:
		j.hole()
	}
	now := s.Counts
	if h := v.Sheet.Heartbeat; h != nil { // leaps by itself, when its sawtooth begins anew
		now[h.Channel-1] = 0
		if count := s.Counts[h.Channel-1]; t.Suspect {
			j.beats(count, s.Wire, t)
		} else {
			j.Beat = count
		}
	}
	switch {
	case j.Hole:
		j.behindHole(&now, s.Wire, v)
		j.Have++
	case j.Have == jumpLinked:
		j.compare(&now, s.Wire, v, emit)
	default:
		j.Have++
	}
	j.Counts = now
}

// hole keeps what stood before a stretch in which nobody said that the bus was gone.
func (j *Jump) hole() {
	if j.Have == jumpLinked {
		j.Stood, j.Known = j.Counts, true
	}
	j.Have, j.Single, j.Hole = 0, false, true
}

// behindHole takes the first values behind it.
func (j *Jump) behindHole(now *bus.Counts, wire unit.Time, v *base.View) {
	j.Hole = false
	if j.Still > 0 {
		if j.drop(now, v); len(j.Leapt) >= leapMany {
			return // it stands over the hole
		}
		j.Still = 0
	}
	if leapt, _ := differ(now, &j.Stood, v); j.Known && leapt >= leapMany {
		j.Counts = j.Stood
		j.begin(now, wire, v)
		j.Unseen = true
	}
}

func (j *Jump) compare(now *bus.Counts, wire unit.Time, v *base.View, emit event.Emit) {
	t := &v.Taps[j.Tap]
	leapt, moved := differ(now, &j.Counts, v)
	if j.Single && moved <= singly { // and not the first of many
		t.Suspect = false
	}
	j.Single = false
	switch {
	case leapt >= leapMany:
		j.begin(now, wire, v)
	case j.Still > 0:
		j.watch(now, v, emit)
	default: // one at a time: hands
		j.Single = moved > 0 && moved <= singly
	}
}

// differ counts the channels that leapt and those that moved at all.
func differ(a, b *bus.Counts, v *base.View) (leapt, moved int) {
	for change := base.Changed(a, b); change != 0; {
		i := change.Pop()
		switch d := unit.Abs(int64(a[i]) - int64(b[i])); {
		case d >= jumpCounts*int64(v.Quantum):
			leapt++
			moved++
		case d >= singleCounts*int64(v.Quantum):
			moved++
		}
	}
	return leapt, moved
}

func (j *Jump) begin(now *bus.Counts, wire unit.Time, v *base.View) {
	t := &v.Taps[j.Tap]
	if j.Still == 0 {
		j.Was = t.Suspect
	}
	t.Suspect = true
	j.Still, j.At, j.Beats, j.Unseen = jumpStill, wire, 0, false
	j.Leapt, j.Came, j.Arrived = j.Leapt[:0], j.Came[:0], j.Arrived[:0]
	for i, c := range now[:v.Protocol.Channels] {
		if unit.Abs(int64(c)-int64(j.Counts[i])) >= jumpCounts*int64(v.Quantum) {
			j.Leapt = append(j.Leapt, i+1)
			j.Came = append(j.Came, j.Counts[i])
			j.Arrived = append(j.Arrived, c)
		}
	}
}

// beats follows the heartbeat's channel behind a jump.
func (j *Jump) beats(count uint32, wire unit.Time, t *base.Tap) {
	switch {
	case count == j.Beat:
		return
	case j.Beats == 0 || wire.Sub(j.Until) > beatPause:
		j.Beats, j.First = 0, wire
	}
	j.Beat, j.Beats, j.Until = count, min(j.Beats+1, heartbeatMoves), wire
	if j.Beats == heartbeatMoves && wire.Sub(j.First) >= jumpBeats {
		t.Suspect, j.Was, j.Beats = false, false, 0
	}
}

// watch waits for the leapt channels to stand. What goes on is a hand's, beside the leap where so many
// stand that it is still one.
func (j *Jump) watch(now *bus.Counts, v *base.View, emit event.Emit) {
	t := &v.Taps[j.Tap]
	if j.drop(now, v); len(j.Leapt) < leapMany {
		j.Still, t.Suspect = 0, j.Was
		return
	}
	if j.Still--; j.Still > 0 {
		return
	}
	if t.Froze || j.At <= t.Back { // a loss that the values reported, and its end
		return
	}
	emit(event.ValuesJumped, j.At, t.About(), event.JumpData{
		Tap: t.Name, Channels: slices.Clone(j.Leapt), From: slices.Clone(j.Came), To: slices.Clone(j.Arrived), Signal: event.SignalLive,
		Unseen: j.Unseen,
	})
}

// drop takes out those of the leapt channels that go on.
func (j *Jump) drop(now *bus.Counts, v *base.View) {
	for i := len(j.Leapt) - 1; i >= 0; i-- {
		if unit.Abs(int64(now[j.Leapt[i]-1])-int64(j.Arrived[i])) >= singleCounts*int64(v.Quantum) {
			j.Leapt, j.Came, j.Arrived = slices.Delete(j.Leapt, i, i+1), slices.Delete(j.Came, i, i+1), slices.Delete(j.Arrived, i, i+1)
		}
	}
}

// Rests implements base.Sleeper: nothing moves, and no jump is looked at.
func (j *Jump) Rests(c base.Calm, _ *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || j.Have < jumpLinked || j.Single || j.Still > 0 {
		return 0, 0
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (j *Jump) Pass(int, base.Calm, *base.View) {}

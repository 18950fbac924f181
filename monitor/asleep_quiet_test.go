package monitor_test

import (
	"encoding/json"
	"math/rand/v2"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// quietBus are two buses whose frames repeat one another, with something now and then.
type quietBus struct {
	rng    *rand.Rand
	heard  func(*event.Input)
	at     unit.Time
	beat   unit.Time
	period unit.Duration
	frames [2]bus.Frame
	flags  int        // frames that are still flagged so
	with   bus.Flags  //
	after  bus.Counts // what the first bus goes back to
	away   int        // when that many frames have come, 0: it stays
	clump  int        // frames that come with one read
	held   []byte     // of such
	moves  bool       // the heartbeat
}

func newQuietBus(seed uint64) *quietBus {
	q := &quietBus{rng: rand.New(rand.NewPCG(seed, 71)), period: unit.Duration(7+seed%4*4) * unit.Millisecond, clump: 1, beat: unit.Time(unit.Second)}
	q.moves = q.rng.IntN(3) == 0
	for i := range q.frames {
		for ch := range servobus.Protocol().Channels {
			q.frames[i].Counts[ch] = one[uint32](q.rng, 992, 992, 172, 1811, 600)
		}
	}
	return q
}

func (q *quietBus) put(kind event.InputKind, tap uint8, data []byte) {
	q.heard(&event.Input{At: q.at, Tap: tap, Kind: kind, Data: data})
}

// plays is a whole session.
func (q *quietBus) plays(heard func(*event.Input)) {
	q.heard = heard
	in := begin("main", "rear")
	heard(&in)
	for tap := range uint8(2) {
		q.put(event.InputTapUp, tap+1, []byte(`{"port":"quiet"}`))
	}
	q.send(100 + q.rng.IntN(200))
	for range 60 + q.rng.IntN(60) {
		q.happens()
		q.send(one(q.rng, q.rng.IntN(6), q.rng.IntN(40), q.rng.IntN(120), q.rng.IntN(400)))
	}
	q.put(event.InputEnd, 0, nil)
}

// send sends frames.
func (q *quietBus) send(frames int) {
	for range frames {
		q.passes(q.period)
		if q.moves && q.rng.IntN(12) == 0 {
			ch := one(q.rng, 14, 15)
			q.frames[0].Counts[ch] = (q.frames[0].Counts[ch] + 30) % 2048
		}
		if q.away > 0 {
			if q.away--; q.away == 0 {
				q.frames[0].Counts = q.after
			}
		}
		for i := range q.frames {
			f := q.frames[i]
			if q.flags > 0 {
				f.Flags |= q.with
			}
			var raw [servobus.FrameLen]byte
			servobus.Encode(&f, raw[:])
			if i == 1 {
				q.put(event.InputBytes, 2, raw[:])
				continue
			}
			if q.held = append(q.held, raw[:]...); len(q.held) >= q.clump*len(raw) {
				q.put(event.InputBytes, 1, q.held)
				q.held = q.held[:0]
			}
		}
		q.flags = max(0, q.flags-1)
	}
}

// passes lets time pass, with its beats.
func (q *quietBus) passes(d unit.Duration) {
	end := q.at.Add(d)
	for ; q.beat <= end; q.beat = q.beat.Add(unit.Second) {
		q.at = max(q.at, q.beat)
		q.put(event.InputBeat, 0, wallAt(unit.Duration(q.beat)))
	}
	q.at = end
}

// happens is one thing that happens.
func (q *quietBus) happens() {
	things := []func(){
		func() { q.moved(1, 1) }, func() { q.moved(1, 400) }, func() { q.moved(1, 30) }, func() { q.moved(2, 200) }, func() { q.moved(5, 300) },
		func() { q.hand() }, func() { q.hand() },
		func() { q.after, q.away = q.frames[0].Counts, 1+q.rng.IntN(5); q.moved(1+q.rng.IntN(2), 300) },
		func() { q.frames[0].Counts[q.rng.IntN(16)] = one[uint32](q.rng, 0, 2047) },
		func() { q.frames[0].Flags ^= bus.Digital(q.rng.IntN(2)) },
		func() {
			q.flags, q.with = one(q.rng, 1, 2, 3, 4, 8, 90, 200), one(q.rng, bus.Lost, bus.Failsafe, bus.Lost|bus.Failsafe)
		},
		func() { q.flags, q.with = 1+q.rng.IntN(3), bus.Lost },
		func() { q.passes(unit.Duration(1+q.rng.IntN(40)) * q.period / 4) },
		func() { q.passes(unit.Duration(q.rng.IntN(3000)) * unit.Millisecond) },
		func() { q.put(event.InputBytes, 1, []byte{1, 2, 3}) },
		func() { q.put(event.InputBadBytes, 1, []byte{15}) },
		func() { q.put(event.InputMark, 0, []byte(one(q.rng, "here", event.ChangedMark))) },
		func() { q.put(event.InputReopen, 0, []byte("all")) },
		func() { q.put(event.InputTapDown, uint8(1+q.rng.IntN(2)), []byte("gone")) },
		func() { q.put(event.InputTapUp, 1, []byte(`{"port":"quiet"}`)) },
		func() { q.put(event.InputOverrun, 1, []byte("3")) },
		func() { q.clump = one(q.rng, 1, 1, 2, 3) },
		func() { q.period = unit.Duration(7+q.rng.IntN(8)) * unit.Millisecond },
		func() { q.drill() }, func() { q.drill() },
		func() { q.moves = !q.moves },
		func() { q.gap() },
	}
	things[q.rng.IntN(len(things))]()
}

// moved puts channels up to so many counts elsewhere.
func (q *quietBus) moved(channels, far int) {
	f := &q.frames[q.rng.IntN(8)/7]
	for range channels {
		ch := q.rng.IntN(16)
		f.Counts[ch] = uint32(min(2047, max(0, int(f.Counts[ch])-far+q.rng.IntN(2*far+1))))
	}
}

// hand moves a channel or two for a while, and lets them stand in motion or slower.
func (q *quietBus) hand() {
	channels := []int{q.rng.IntN(4), q.rng.IntN(16)}[:1+q.rng.IntN(2)]
	for range 8 + q.rng.IntN(60) {
		for _, ch := range channels {
			q.frames[0].Counts[ch] = uint32(min(2047, max(0, int(q.frames[0].Counts[ch])+q.rng.IntN(60)-28)))
		}
		q.send(1)
	}
}

// drill says something about one.
func (q *quietBus) drill() {
	name := one(q.rng, drill.Failsafe, "neutral", "power-up", "order", "ends")
	steps := []string{event.StepBegin, event.StepConfirm}
	for range q.rng.IntN(6) {
		steps = append(steps, one(q.rng, event.StepDone, event.StepDone, event.StepRepeat, event.StepBack))
	}
	for _, do := range steps {
		data, _ := json.Marshal(event.DrillStep{Drill: name, Do: do})
		q.put(event.InputDrillStep, 0, data)
		q.send(q.rng.IntN(150))
	}
	if q.rng.IntN(4) > 0 {
		data, _ := json.Marshal(event.DrillStep{Drill: name, Do: event.StepAbandon})
		q.put(event.InputDrillStep, 0, data)
	}
}

// gap is a gap of the recording, or the sitting ends and goes on.
func (q *quietBus) gap() {
	if q.rng.IntN(2) == 0 {
		in := begin("main", "rear")
		in.At, in.Kind = q.at, event.InputResume
		q.heard(&in)
		return
	}
	for _, ended := range []bool{false, true} {
		data, _ := json.Marshal(event.RecordingGapInput{Ended: ended, Why: "a disk"})
		q.put(event.InputRecordingGap, 0, data)
		q.send(q.rng.IntN(100))
	}
}

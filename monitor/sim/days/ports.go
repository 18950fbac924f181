package days

import (
	"encoding/binary"
	"math/rand/v2"
	"slices"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// put is an input that was put in.
type put struct {
	at   unit.Time // bench time
	tap  uint8
	kind event.InputKind
	data string
	life int
}

// deliver gives what a bench delivers to who listens.
func (d *day) deliver(delivery *world.Delivery) {
	switch {
	case d.gone && delivery.Kind == world.Data:
		return
	case d.now < d.clogged:
		if len(d.waiting) == 0 {
			d.start(nil, d.clogged, d.unclog)
		}
		d.waiting = append(d.waiting, *delivery)
		return
	}
	if l := d.life; l.listens() {
		l.take(delivery)
	}
}

func (l *life) listens() bool { return l != nil && l.hears && !l.over }

// unclog delivers late what waited, at once.
func (d *day) unclog() {
	for d.now < d.clogged {
		if !d.sleep(d.clogged) {
			return
		}
	}
	l, waited := d.life, d.waiting
	d.waiting = nil
	for i := range waited {
		if l.listens() {
			l.take(&waited[i])
		}
	}
}

func (l *life) take(delivery *world.Delivery) {
	kind, data := event.InputBytes, delivery.Data
	switch {
	case delivery.Kind == world.Unplugged:
		kind, data = event.InputTapDown, []byte("unplugged")
	case delivery.Kind == world.Plugged:
		kind, data = event.InputTapUp, []byte(plugged)
	case delivery.Bad:
		kind = event.InputBadBytes
	}
	l.put(uint8(delivery.Tap+1), kind, data)
}

const plugged = `{"port":"simulated"}`

// put puts an input in.
func (l *life) put(tap uint8, kind event.InputKind, data []byte) (input int64, taken bool) {
	if input, taken = l.live.Seq.Put(tap, kind, data); taken {
		l.puts = append(l.puts, put{l.live.Seq.Now().Truncate(unit.Microsecond), tap, kind, string(data), l.played.Lives})
	}
	return input, taken
}

// beat is what comes with each second.
func (l *life) beat() {
	if !l.hears {
		return
	}
	at := l.wall()
	l.steps.Beat(time.Unix(0, at))
	data := binary.BigEndian.AppendUint64(nil, uint64(at))
	l.puts = append(l.puts, put{l.live.Seq.Now().Truncate(unit.Microsecond), event.BenchTap, event.InputBeat, string(data), l.played.Lives})
	if n := l.live.State().Recorder.Waiting; n > mostEvents {
		l.failed = errUnbounded
	}
}

// portFault has something happen to the port.
func (d *day) portFault(h *Happening, luck *rand.Rand) {
	switch h.What {
	case clogs:
		d.clogged = max(d.clogged, d.now+h.For)
	case babbles:
		d.start(nil, d.now, func() { d.babble(h, luck) })
	case unplugs:
		if d.gone {
			return
		}
		d.gone = true
		d.waiting = slices.DeleteFunc(d.waiting, func(x world.Delivery) bool { return x.Kind == world.Data }) // it goes with the port
		if l := d.life; l.listens() {
			l.put(1, event.InputTapDown, []byte("unplugged"))
		}
		d.start(nil, d.now+h.For, func() {
			d.gone = false
			if l := d.life; l.listens() {
				l.put(1, event.InputTapUp, []byte(plugged))
			}
		})
	}
}

// babble delivers bytes that nobody sent.
func (d *day) babble(h *Happening, luck *rand.Rand) {
	for until := d.now + h.For; d.now < until; {
		data := make([]byte, 1+luck.IntN(h.Count))
		for i := range data {
			data[i] = byte(luck.Uint32())
		}
		if l := d.life; l.listens() && !d.gone {
			l.put(1, event.InputBytes, data)
		}
		if !d.sleep(d.now + 20*millisecond) {
			return
		}
	}
}

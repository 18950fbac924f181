package standin

import (
	"math/rand/v2"

	"benchproof.example/decode/servobus"
)

// transmitterName is what truths about the transmitter are about.
const transmitterName = "transmitter"

// control is what one channel of the transmitter follows.
type control interface {
	// width is where it is, ns of pulse width. Times must not decrease.
	width(now int64) int64
}

// transmitter sends packets at its own pace, one for all receivers.
type transmitter struct {
	script   *Script
	ledger   *ledger
	controls []control // like script.channels
	levers   map[int]*lever
	hands    map[int]*hand
	links    []*link
	counts   [servobus.Channels]uint16
	on       bool
	next     int64 // the next packet
	every    int64 // by its own clock
}

func newTransmitter(s *Script, streams streams, l *ledger) *transmitter {
	rng := streams.of(transmitterName)
	t := &transmitter{
		script: s, ledger: l, counts: s.neutral(), levers: map[int]*lever{}, hands: map[int]*hand{},
		next: rng.Int64N(s.packets), every: ownPace(rng, s.packets),
	}
	for i := range s.channels {
		t.controls = append(t.controls, t.control(i, streams.of("channel "+s.channels[i].name)))
	}
	return t
}

func (t *transmitter) control(channel int, rng *rand.Rand) control {
	plan := &t.script.channels[channel]
	switch {
	case plan.beat != nil:
		return heartbeat{plan.beat}
	case len(plan.places) > 0:
		t.levers[channel] = newLever(plan, rng, t.ledger)
		return t.levers[channel]
	}
	t.hands[channel] = newHand(plan, rng, t.ledger)
	return t.hands[channel]
}

func (t *transmitter) power(now int64, on bool) {
	if on != t.on {
		t.on = on
		t.ledger.note(now, "signal", transmitterName, onOff(on))
	}
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

func (t *transmitter) due() int64 { return within(t.script, t.next) }

// act looks at the controls and sends a packet. The controls go on with the
// signal off: hands move them all the same.
func (t *transmitter) act() {
	now := t.next
	t.next += t.every
	for i, c := range t.controls {
		t.counts[t.script.channels[i].number] = t.script.count(c.width(now))
	}
	for _, l := range t.links {
		l.carry(now, t.on, &t.counts)
	}
}

// clockError is how wrong a crystal may be, in parts per million (common
// practice).
const clockError = 40

// ownPace is a period by a clock of its own.
func ownPace(rng *rand.Rand, period int64) int64 {
	return period + period*(rng.Int64N(2*clockError+1)-clockError)/1_000_000
}

// within is t, or never if it is past the script's end.
func within(s *Script, t int64) int64 {
	if t > s.length {
		return never
	}
	return t
}

package world

import (
	"math/rand/v2"

	"benchproof.example/decode/scale"
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
	truths   *truthLog
	controls []control // like script.channels
	levers   map[int]*lever
	hands    map[int]*hand
	faults   []fault
	links    []*link
	counts   values
	on       bool
	warning  warning
	second   *second // nil: there is none
	rates    []int64 // of the travel that is sent, parts per million, like script.channels
	trims    []int64 // that are added to it, ns, like script.channels
	trembles []*tremble
	cut      bool  // the throttle
	next     int64 // the next packet
	every    int64 // by its own clock
}

func newTransmitter(s *Script, streams streams, l *truthLog) *transmitter {
	rng := streams.of(transmitterName)
	t := &transmitter{
		script: s, truths: l, counts: s.neutral(), levers: map[int]*lever{}, hands: map[int]*hand{},
		next: rng.Int64N(s.packets), every: ownPace(rng, s.packets),
		warning: warning{script: s, truths: l}, second: newSecond(s, streams, l),
	}
	for i := range s.channels {
		t.controls = append(t.controls, t.control(i, streams.of("channel "+s.channels[i].name)))
	}
	for range s.channels {
		t.rates, t.trims = append(t.rates, million), append(t.trims, 0)
	}
	for i := range s.trembles {
		plan := &s.trembles[i]
		t.trembles = append(t.trembles, newTremble(plan, streams.of("tremble "+s.channels[plan.channel].name)))
	}
	for _, fresh := range s.faults {
		t.faults = append(t.faults, fresh())
	}
	return t
}

func (t *transmitter) control(channel int, rng *rand.Rand) control {
	plan := &t.script.channels[channel]
	switch {
	case plan.beat != nil:
		return heartbeat{plan.beat}
	case len(plan.places) > 0:
		t.levers[channel] = newLever(plan, t.script.hands, rng, t.truths)
		return t.levers[channel]
	}
	t.hands[channel] = newHand(plan, t.script.hands, rng, t.truths)
	return t.hands[channel]
}

func (t *transmitter) power(now int64, on bool) {
	if on != t.on {
		t.on = on
		t.truths.note(now, "signal", transmitterName, onOff(on))
		t.warning.power(now, on)
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
	widths := make([]int64, len(t.controls))
	for i, c := range t.controls {
		widths[i] = c.width(now)
	}
	sends := t.on && !t.warning.quiet(now, widths)
	t.bend(now, widths)
	for i, width := range widths {
		t.counts[t.script.channels[i].number] = t.script.count(width)
	}
	t.flicker(now)
	counts := &t.counts
	if t.second != nil {
		counts, sends = t.either(now, sends)
	}
	for _, l := range t.links {
		l.carry(now, sends, counts)
	}
}

// either is what is on the air of two transmitters, and whether anything is.
func (t *transmitter) either(now int64, sends bool) (*values, bool) {
	if !sends {
		return t.second.speak(now, &t.counts)
	}
	t.second.pause(now, &t.counts)
	return &t.counts, true
}

// flicker lets trembling controls be off by a count.
func (t *transmitter) flicker(now int64) {
	for _, tr := range t.trembles {
		c := &t.counts[t.script.channels[tr.plan.channel].number]
		*c = uint16(min(max(int(*c)+tr.shift(now), 0), scale.MaxCount))
	}
}

// bend makes of what the hands do what it sends: what the gates and the rates
// leave of it, the trims, the offsets of a flight phase, the cut, and what the faults make of
// that. Widths are like script.channels.
func (t *transmitter) bend(now int64, widths []int64) {
	for _, g := range t.script.gates {
		g.bend(t.script, widths)
	}
	for i, share := range t.rates {
		start := t.script.channels[i].start
		widths[i] = start + (widths[i]-start)*share/million + t.trims[i]
	}
	s := &sent{widths: widths, levers: t.levers}
	for i := range t.script.phases {
		t.script.phases[i].bend(now, s)
	}
	if plan := t.script.cutoff; t.cut && !plan.ignored {
		widths[plan.channel] = plan.width
	}
	for _, f := range t.faults {
		f.bend(now, s)
	}
}

// rate sets how much of a channel's travel is sent.
func (t *transmitter) rate(now int64, channel int, share int64) {
	t.rates[channel] = share
	t.truths.note(now, "rate", t.script.channels[channel].name, percent(float64(share)/float64(million)))
}

// trim sets what is added to a channel.
func (t *transmitter) trim(now int64, channel int, by int64) {
	t.trims[channel] = by
	t.truths.add(Truth{At: now, Kind: "trim", About: t.script.channels[channel].name, Width: by})
}

// setCut moves the switch of the throttle cut.
func (t *transmitter) setCut(now int64, on bool) {
	if on != t.cut {
		t.cut = on
		t.truths.note(now, "cut", t.script.channels[t.script.cutoff.channel].name, onOff(on))
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

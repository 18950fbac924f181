package world

import (
	"math"
	"math/rand/v2"
	"strconv"
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
	bench    *Plan
	truths   *truthLog
	controls []control // like Plan.channels
	levers   map[int]*lever
	hands    map[int]*hand
	faults   []bender
	links    []*link
	counts   values
	on       bool
	warning  warning
	second   *second // nil: there is none
	rates    []int64 // of the travel that is sent, parts per million, like Plan.channels
	trims    []int64 // that are added to it, ns, like Plan.channels
	trembles []*tremble
	cut      bool  // the throttle
	next     int64 // the next packet
	every    int64 // by its own clock
}

func newTransmitter(s *Plan, streams streams, l *truthLog) *transmitter {
	rng := streams.of(transmitterName)
	t := &transmitter{
		bench: s, truths: l, counts: s.neutral(), levers: map[int]*lever{}, hands: map[int]*hand{},
		next: rng.Int64N(s.PacketEvery), every: ownPace(rng, s.PacketEvery),
		warning: warning{bench: s, truths: l}, second: newSecond(s, streams, l),
	}
	for i := range s.Channels {
		t.controls = append(t.controls, t.control(i, streams.of("channel "+s.Channels[i].Name)))
	}
	for range s.Channels {
		t.rates, t.trims = append(t.rates, million), append(t.trims, 0)
	}
	for i := range s.Trembles {
		plan := &s.Trembles[i]
		t.trembles = append(t.trembles, newTremble(plan, streams.of("tremble "+s.Channels[plan.Channel].Name)))
	}
	for _, f := range s.Faults {
		t.faults = append(t.faults, f.begin(s))
	}
	return t
}

func (t *transmitter) control(channel int, rng *rand.Rand) control {
	plan := &t.bench.Channels[channel]
	switch {
	case plan.Heartbeat != nil:
		return heartbeat{plan.Heartbeat}
	case len(plan.Places) > 0:
		t.levers[channel] = newLever(plan, t.bench.Hands, rng, t.truths)
		return t.levers[channel]
	}
	t.hands[channel] = newHand(plan, t.bench.Hands, rng, t.truths)
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

func (t *transmitter) due() int64 { return within(t.bench, t.next) }

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
		t.counts[t.bench.Channels[i].Number] = t.bench.count(width)
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
		c := &t.counts[t.bench.Channels[tr.plan.Channel].Number]
		*c = uint32(min(max(int(*c)+tr.shift(now), 0), MaxCount))
	}
}

// bend makes of what the hands do what it sends: what the gates and the rates
// leave of it, the trims, the offsets of a flight phase, the cut, and what the faults make of
// that. Widths are like Plan.channels.
func (t *transmitter) bend(now int64, widths []int64) {
	for _, g := range t.bench.Gates {
		g.bend(t.bench, widths)
	}
	for i, share := range t.rates {
		start := t.bench.Channels[i].Start
		widths[i] = start + (widths[i]-start)*share/million + t.trims[i]
	}
	s := &sent{widths: widths, levers: t.levers}
	for i := range t.bench.Phases {
		t.bench.Phases[i].bend(now, s)
	}
	if plan := t.bench.Cutoff; t.cut && !plan.Ignored {
		widths[plan.Channel] = plan.Width
	}
	for _, f := range t.faults {
		f.bend(now, s)
	}
}

// rate sets how much of a channel's travel is sent.
func (t *transmitter) rate(now int64, channel int, share int64) {
	t.rates[channel] = share
	t.truths.note(now, "rate", t.bench.Channels[channel].Name, percent(float64(share)/float64(million)))
}

// trim sets what is added to a channel.
func (t *transmitter) trim(now int64, channel int, by int64) {
	t.trims[channel] = by
	t.truths.add(Truth{At: now, Kind: "trim", About: t.bench.Channels[channel].Name, Width: by})
}

// SetCut moves the switch of the throttle cut.
func (t *transmitter) setCut(now int64, on bool) {
	if on != t.cut {
		t.cut = on
		t.truths.note(now, "cut", t.bench.Channels[t.bench.Cutoff.Channel].Name, onOff(on))
	}
}

func percent(share float64) string {
	return strconv.FormatFloat(math.Floor(share*100), 'f', -1, 64) + "%"
}

// clockError is how wrong a crystal may be, in parts per million (common
// practice).
const clockError = 40

// ownPace is a period by a clock of its own.
func ownPace(rng *rand.Rand, period int64) int64 {
	return period + period*(rng.Int64N(2*clockError+1)-clockError)/1_000_000
}

// within is t, or never if it is past the plan's end.
func within(s *Plan, t int64) int64 {
	if t > s.Length {
		return Never
	}
	return t
}

package watch_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

const (
	ms     = unit.Millisecond
	period = 7 * ms
	middle = 992 // counts: 1500 µs at the common scale
	low    = 172
	high   = 1811
)

const plain = `sheet: 1
model: Table
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, cut: 988, full: 2012}
  6: {name: flaps, kind: knob, ends: {up: 988, down: 2012}}
  9: {name: gain, kind: knob, ends: {anticlockwise: 988, clockwise: 2012}}
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
  15: {name: teach, kind: momentary, rest: 988, pressed: 2012}
  17: {name: lights, kind: momentary, rest: 988, pressed: 2012}
gain: {channel: gain, law: sign-selects, zero: 1500, full: [988, 2012]}
`

// rig hands frames to a watcher, behind those that tell it about the signal, one each
// 7 ms.
type rig struct {
	t       testing.TB
	view    base.View
	before  []base.Watcher
	watcher base.Watcher
	fresh   func() base.Watcher
	restore bool // replace the watcher by its own checkpoint before every third observation
	seen    int

	frame  bus.Frame
	at     unit.Time // wire time of the frame that came last
	period unit.Duration
	each   func() // before every frame
	events []event.Event
}

// told is what a watcher has to say of a play, the same from checkpoints.
func reported(t *testing.T, text string, fresh func() base.Watcher, play func(*rig)) []event.Event {
	s, err := sheet.Read("table", []byte(text))
	require.NoError(t, err)
	var both [2][]event.Event
	for i := range both {
		r := &rig{
			t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}}),
			fresh: fresh, watcher: fresh(), restore: i == 1, period: period,
		}
		r.before = []base.Watcher{&link.Failsafe{Tap: 1}, &link.Link{Tap: 1}, base.NewCleaned(&r.view, 1), &link.Jump{Tap: 1}}
		for ch := range r.frame.Counts {
			r.frame.Counts[ch] = middle
		}
		play(r)
		both[i] = r.events
	}
	require.Equal(t, both[0], both[1], "from checkpoints")
	return both[0]
}

func (r *rig) put(ch int, count uint32) { r.frame.Counts[ch-1] = count }

// send sends a number of frames and returns the wire time of the first.
func (r *rig) send(frames int) unit.Time {
	first := r.at.Add(r.period)
	for range frames {
		if r.each != nil {
			r.each()
		}
		r.at = r.at.Add(r.period)
		f := r.frame
		r.see(&event.Observation{At: r.at, Wire: r.at, Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: r.period}})
	}
	return first
}

// play sends a frame for each count of a channel and returns the wire time of the first.
func (r *rig) play(ch int, counts ...uint32) unit.Time {
	first := r.at.Add(r.period)
	for _, c := range counts {
		r.put(ch, c)
		r.send(1)
	}
	return first
}

// flagged sends frames with flags.
func (r *rig) flagged(frames int, flags bus.Flags) unit.Time {
	r.frame.Flags = flags
	first := r.send(frames)
	r.frame.Flags = 0
	return first
}

// bad sends a frame with a character marked bad.
func (r *rig) bad() {
	r.frame.Bad = true
	r.send(1)
	r.frame.Bad = false
}

func (r *rig) refused(bytes int64) {
	o := event.Observation{At: r.at, Tap: 1, Kind: event.BytesRefused}
	o.Refused[bus.NoHeader] = bytes
	r.see(&o)
}

func (r *rig) down() { r.see(&event.Observation{At: r.at, Tap: 1, Kind: event.InputTapDown}) }

func (r *rig) silence(d unit.Duration) { r.at = r.at.Add(d) }

func (r *rig) see(o *event.Observation) {
	quiet := func(string, unit.Time, string, any) {}
	for _, w := range r.before {
		w.See(o, &r.view, quiet)
	}
	if r.seen++; r.restore && r.seen%3 == 0 {
		state, err := json.Marshal(r.watcher)
		require.NoError(r.t, err)
		r.watcher = r.fresh()
		require.NoError(r.t, json.Unmarshal(state, r.watcher))
	}
	r.watcher.See(o, &r.view, func(kind string, from unit.Time, about string, data any) {
		r.events = append(r.events, event.Event{At: o.At, From: from, Kind: kind, About: about, Data: data})
	})
}

// kinds are the kinds of events, in order.
func kinds(list []event.Event) []string {
	names := []string{}
	for _, e := range list {
		names = append(names, e.Kind)
	}
	return names
}

func one(t *testing.T, list []event.Event) event.Event {
	require.Len(t, list, 1, kinds(list))
	return list[0]
}

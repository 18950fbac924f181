package watch_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
	"benchproof.example/monitor/watch/link"
)

const wings = `sheet: 1
model: Table
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, drives: motor, cut: 988, full: 2012}
  4: {name: rudder, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  9: {name: gain, kind: knob, ends: {anticlockwise: 988, clockwise: 2012}}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: manual}
  modes:
    off: {when: [{inner: [0, 1500]}]}
    upright: {when: [{inner: [1500, 3000]}]}
outputs:
  1: {surface: left, moved_by: {aileron: 0.5, elevator: -0.5}}
  2: {surface: right, moved_by: {aileron: 0.5, elevator: 0.5}}
  3: {surface: motor, moved_by: {throttle: 1.0}}
`

// lead is what drives one output of the receiver of these tests: µs against µs from
// the channels' middle, by channel number.
type lead struct {
	slopes    map[int]float64
	low, high float64
	flat      float64 // µs about neutral that leave it where it is
}

// wired is a receiver with a bus and outputs, made for these tests from its own
// formulas: a frame each 7 ms, a pulse of each output each 20 ms, 45 ms late.
type wired struct {
	t       testing.TB
	view    base.View
	first   []base.Watcher
	list    []base.Watcher
	fresh   func() []base.Watcher
	restore bool
	seen    int

	at    float64 // s
	rise  float64
	stick map[int]func(t float64) float64 // µs, by channel; none: it stands in the middle
	base  map[int]float64
	leads map[int]*lead
	flags bus.Flags
	lost  int     // each this many frames is one that the receiver missed; 0: none
	most  float64 // µs: the transmitter lets no channel go farther; 0: it does
	mute  bool
	odd   map[int]float64 // one pulse of an output that is wrong
	past  []bus.Frame
	dates []float64
	rng   *rand.Rand

	events []event.Event
}

func newWired(t testing.TB, fresh func() []base.Watcher) *wired {
	s, err := sheet.Read("table", []byte(wings))
	require.NoError(t, err)
	w := &wired{
		t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}),
		fresh: fresh, list: fresh(), rise: 0.2, rng: rand.New(rand.NewPCG(1, 1)),
		stick: map[int]func(float64) float64{}, base: map[int]float64{3: 988, 9: 1200, 11: 988}, odd: map[int]float64{},
		leads: map[int]*lead{
			1: {slopes: map[int]float64{1: 0.5, 2: -0.5}, low: 700, high: 2300},
			2: {slopes: map[int]float64{1: 0.5, 2: 0.5}, low: 700, high: 2300},
			3: {slopes: map[int]float64{3: 1}, low: 700, high: 2300},
		},
	}
	w.first = []base.Watcher{
		&link.Failsafe{Tap: 1}, &link.Link{Tap: 1}, base.NewCleaned(&w.view, 1), &link.Jump{Tap: 1}, &controls.Mode{Tap: 1},
	}
	return w
}

// played are the events of a play, the same from checkpoints.
func played(t *testing.T, fresh func() []base.Watcher, play func(*wired)) []event.Event {
	var both [2][]event.Event
	for i := range both {
		w := newWired(t, fresh)
		w.restore = i == 1
		play(w)
		both[i] = w.events
	}
	require.Equal(t, both[0], both[1], "from checkpoints")
	return both[0]
}

func (w *wired) run(seconds float64) {
	for end := w.at + seconds; w.at < end; {
		w.at += 0.007
		f := w.frame()
		w.past, w.dates = append(w.past, f), append(w.dates, w.at)
		if n := len(w.past); n > 64 {
			w.past, w.dates = w.past[n-64:], w.dates[n-64:]
		}
		at := unit.Time(w.at * 1e9)
		w.see(&event.Observation{At: at, Wire: at, Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: 7 * ms}})
		for ; w.rise < w.at; w.rise += 0.02 {
			for _, n := range []int{1, 2, 3} {
				w.pulse(n)
			}
		}
	}
}

func (w *wired) frame() bus.Frame {
	f := bus.Frame{Flags: w.flags}
	if w.lost != 0 && int(w.at/0.007)%w.lost == 0 {
		f.Flags |= bus.Lost
	}
	for c := range f.Counts {
		us := 1500.0
		if b, ok := w.base[c+1]; ok {
			us = b
		}
		if s := w.stick[c+1]; s != nil {
			us = s(w.at)
		}
		if w.most != 0 {
			us = min(us, w.most)
		}
		f.Counts[c] = uint32(math.Round((us - 880) / 0.625))
	}
	return f
}

func (w *wired) pulse(n int) {
	if w.mute {
		return
	}
	k := len(w.dates) - 1
	for k > 0 && w.dates[k] > w.rise-0.045 {
		k--
	}
	l, y := w.leads[n], 1500.0
	for c := 1; c <= 16; c++ {
		if slope := l.slopes[c]; slope != 0 {
			d := 0.625*float64(w.past[k].Counts[c-1]) + 880 - 1500
			y += slope * math.Copysign(max(0, math.Abs(d)-l.flat/2), d)
		}
	}
	y = max(l.low, min(l.high, y)) + 0.4*w.rng.NormFloat64()
	if odd, ok := w.odd[n]; ok {
		y = odd
		delete(w.odd, n)
	}
	width := unit.Width(math.Round(y*2) * 500)
	at := unit.Time(w.rise * 1e9).Add(width.Duration())
	w.see(&event.Observation{At: unit.Time(w.at * 1e9), Wire: at, Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: n, Width: width}})
}

func (w *wired) see(o *event.Observation) {
	for _, x := range w.first {
		x.See(o, &w.view, func(string, unit.Time, string, any) {})
	}
	if w.seen++; w.restore && w.seen%1999 == 0 {
		w.reload()
	}
	for _, x := range w.list {
		x.See(o, &w.view, func(kind string, from unit.Time, about string, data any) {
			w.events = append(w.events, event.Event{At: o.At, From: from, Kind: kind, About: about, Data: data})
		})
	}
}

// reload replaces the watchers and what they share by their checkpoints.
func (w *wired) reload() {
	list := w.fresh()
	for i := range list {
		raw, err := json.Marshal(w.list[i])
		require.NoError(w.t, err)
		require.NoError(w.t, json.Unmarshal(raw, list[i]))
	}
	w.list = list
	raw, err := json.Marshal(w.view.Taps)
	require.NoError(w.t, err)
	w.view.Taps = nil
	require.NoError(w.t, json.Unmarshal(raw, &w.view.Taps))
}

// sweep moves channels, one after the other, to both ends and back, four seconds each.
func (w *wired) sweep(channels ...int) {
	for _, c := range channels {
		from := w.at
		w.stick[c] = func(t float64) float64 {
			return 1500 + 512*max(-1, min(1, 1.5*math.Sin(2*math.Pi*(t-from)/4)))
		}
		w.run(4)
		delete(w.stick, c)
	}
	w.run(1)
}

// raise moves the throttle up and down.
func (w *wired) raise() {
	from := w.at
	w.stick[3] = func(t float64) float64 { return 988 + 1024*math.Pow(math.Sin(math.Pi*(t-from)/4), 2) }
	w.run(4)
	delete(w.stick, 3)
	w.run(1)
}

// of are the events about one thing.
func of(list []event.Event, kind, about string) (some []event.Event) {
	for _, e := range list {
		if e.Kind == kind && e.About == about {
			some = append(some, e)
		}
	}
	return some
}

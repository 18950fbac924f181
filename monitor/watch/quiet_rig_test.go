package watch_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// shape is the width of a pulse at a time, ns; 0: there is none.
type shape func(at unit.Time) unit.Width

func steady(width unit.Width) shape { return func(unit.Time) unit.Width { return width } }

// quiet is a bench on which nobody moves a stick: a frame each 7 ms, pulses of some
// outputs, a line of the board itself each second, all read at once.
type quiet struct {
	t       *testing.T
	view    base.View
	watcher base.Watcher
	fresh   func() base.Watcher
	restore bool
	seen    int

	at     unit.Time
	frame  bus.Frame
	bus    bool
	out    map[int]shape
	period map[int]unit.Duration
	due    map[int]unit.Time     // of the next pulse, rising
	rose   map[int]unit.Duration // board clock; none: the period is not known
	board  bool                  // its lines come
	epoch  int
	clock  unit.Time     // bench time at which the board's began
	late   unit.Duration // that everything is read
	stands unit.Time     // until then the computer stands still, and reads nothing
	events []event.Event
}

// heardOf is what a watcher says of a play, the same from checkpoints.
func heardOf(t *testing.T, text string, fresh func() base.Watcher, play func(*quiet)) []event.Event {
	once := quietOf(t, text, fresh, play, false)
	require.Equal(t, once, quietOf(t, text, fresh, play, true), "from checkpoints")
	return once
}

func quietOf(t *testing.T, text string, fresh func() base.Watcher, play func(*quiet), restore bool) []event.Event {
	s, err := sheet.Read("table", []byte(text))
	require.NoError(t, err)
	q := &quiet{
		t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}),
		watcher: fresh(), fresh: fresh, restore: restore, bus: true, board: true,
		out: map[int]shape{}, period: map[int]unit.Duration{}, due: map[int]unit.Time{}, rose: map[int]unit.Duration{},
	}
	q.view.Taps[1].ModeKnown, q.view.Taps[1].Mode = true, "off"
	for ch := range q.frame.Counts {
		q.frame.Counts[ch] = middle
	}
	q.see(&event.Observation{Tap: 2, Kind: event.InputTapUp})
	play(q)
	return q.events
}

func (q *quiet) run(d unit.Duration) {
	for end := q.at.Add(d); q.at < end; {
		q.at = q.at.Add(ms)
		if q.bus && q.at == q.at.Truncate(7*ms) {
			f := q.frame
			q.see(&event.Observation{Wire: q.at, Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: 7 * ms}})
		}
		for n := 1; n <= pulse.MaxOutputs; n++ {
			if q.out[n] != nil {
				q.pulses(n)
			}
		}
		if q.board && q.at == q.at.Truncate(unit.Second) {
			q.see(&event.Observation{Wire: q.at, Tap: 2, Kind: event.BoardStatus, Board: event.Board{Name: "board", Tick: 500, Outputs: 8}})
		}
	}
}

func (q *quiet) pulses(n int) {
	period := q.period[n]
	if period == 0 {
		period = 20 * ms
	}
	if q.due[n] < q.at.Add(-unit.Second) {
		q.due[n] = q.at.Add(-2 * ms)
	}
	for ; q.due[n].Add(2400*unit.Microsecond) <= q.at; q.due[n] = q.due[n].Add(period) {
		if width := q.out[n](q.due[n]); width != 0 && q.board {
			q.pulse(n, q.due[n], width)
		} else {
			delete(q.rose, n)
		}
	}
}

// pulse is one that rose at a bench time.
func (q *quiet) pulse(n int, rise unit.Time, width unit.Width) {
	q.pulseReadAt(n, rise, width, rise.Add(width.Duration()))
}

// pulseReadAt is one that nothing dates but when it was read.
func (q *quiet) pulseReadAt(n int, rise unit.Time, width unit.Width, read unit.Time) {
	p := event.Pulse{Output: n, Rise: rise.Sub(q.clock), Width: width, Epoch: q.epoch}
	if before, ok := q.rose[n]; ok {
		p.Period = p.Rise - before
	}
	q.rose[n] = p.Rise
	q.see(&event.Observation{Wire: read, Tap: 2, Kind: event.PulseSeen, Pulse: &p})
}

// lost is a run of lines that are lacking: the next periods are not known.
func (q *quiet) lost(d event.BoardLostData) {
	clear(q.rose)
	q.see(&event.Observation{Wire: q.at, Tap: 2, Kind: event.LinesLost, Lost: d})
}

// again begins the board's clock anew.
func (q *quiet) again() {
	q.epoch++
	q.clock = q.at
	clear(q.rose)
}

func (q *quiet) down() { q.see(&event.Observation{Wire: q.at, Tap: 2, Kind: event.InputTapDown}) }

func (q *quiet) up() {
	q.again()
	q.see(&event.Observation{Wire: q.at, Tap: 2, Kind: event.InputTapUp})
}

func (q *quiet) see(o *event.Observation) {
	o.At = max(q.at.Add(q.late), q.stands)
	if q.seen++; q.restore && q.seen%97 == 0 {
		raw, err := json.Marshal(q.watcher)
		require.NoError(q.t, err)
		q.watcher = q.fresh()
		require.NoError(q.t, json.Unmarshal(raw, q.watcher))
	}
	now := o.At
	emit := func(kind string, from unit.Time, about string, data any) {
		q.events = append(q.events, event.Event{At: now, From: from, Kind: kind, About: about, Data: data})
	}
	if timed, ok := q.watcher.(base.Timed); ok {
		for due := timed.Due(); due < o.At; due = timed.Due() {
			now = due
			timed.Expire(due, &q.view, emit)
		}
	}
	now = o.At
	q.watcher.See(o, &q.view, emit)
}

package watch_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

// bereft is a bench whose bus loses its signal while outputs 1 and 3 are heard.
type bereft struct {
	t       *testing.T
	view    base.View
	watcher base.Watcher
	restore bool
	at      unit.Time
	width   map[int]unit.Width // ns; 0: silent
	board   bool
	bus     bool // frames come
	flags   bus.Flags
	events  []event.Event
}

func bereftOf(t *testing.T, play func(*bereft)) []event.Event {
	s, err := sheet.Read("table", []byte(lossSheet))
	require.NoError(t, err)
	var both [2][]event.Event
	for i := range both {
		b := &bereft{
			t: t, view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}),
			watcher: &leads.OutputLoss{Tap: 2}, restore: i == 1, board: true,
			width: map[int]unit.Width{1: 1_700_000, 3: 1_400_000},
		}
		play(b)
		both[i] = b.events
	}
	require.Equal(t, both[0], both[1], "from checkpoints")
	return both[0]
}

// run lets 20 ms slots pass, a frame and a pulse of each output in each.
func (b *bereft) run(d unit.Duration) {
	for end := b.at.Add(d); b.at < end; {
		b.at = b.at.Add(20 * ms)
		b.see(&event.Observation{At: b.at, Wire: b.at, Tap: 1, Kind: event.InputBeat})
		for _, n := range []int{1, 3} {
			if w := b.width[n]; w != 0 {
				b.see(&event.Observation{At: b.at, Wire: b.at, Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: n, Width: w}})
			}
		}
		if b.board {
			b.see(&event.Observation{At: b.at, Wire: b.at, Tap: 2, Kind: event.BoardStatus})
		}
		if b.bus {
			b.see(&event.Observation{At: b.at, Wire: b.at, Tap: 1, Kind: event.FrameSeen, Frame: &bus.Frame{Flags: b.flags}})
		}
	}
}

func (b *bereft) loss(phase string) {
	t := &b.view.Taps[1]
	if t.Loss == "" && phase != "" {
		t.LossAt = b.at
	}
	t.Loss = phase
}

func (b *bereft) see(o *event.Observation) {
	if b.restore {
		raw, err := json.Marshal(b.watcher)
		require.NoError(b.t, err)
		b.watcher = &leads.OutputLoss{}
		require.NoError(b.t, json.Unmarshal(raw, b.watcher))
	}
	b.watcher.See(o, &b.view, func(kind string, from unit.Time, about string, data any) {
		b.events = append(b.events, event.Event{At: o.At, From: from, Kind: kind, About: about, Data: data})
	})
}

// gone goes through a loss: what the outputs do after half a second, and what the
// builder does after so long.
func gone(do func(*bereft), watched unit.Duration) func(*bereft) {
	return func(b *bereft) {
		b.run(3 * unit.Second)
		b.loss(event.PhaseLost)
		b.run(500 * ms)
		do(b)
		b.run(unit.Second)
		b.loss(event.PhaseSettled)
		b.run(watched)
		b.loss("")
		b.run(unit.Second)
	}
}

func TestOutputsInALoss(t *testing.T) {
	hold := event.LossOutput{Output: 1, WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_700_000, MostNS: 1_700_000, SilentNS: -1}
	motor := event.LossOutput{Output: 3, WasNS: 1_400_000, NowNS: 1_400_000, LeastNS: 1_400_000, MostNS: 1_400_000, SilentNS: -1}
	cut := motor
	cut.NowNS, cut.LeastNS, cut.MostNS = 988_000, 988_000, 988_000
	silent := event.LossOutput{Output: 3, WasNS: 1_400_000, NowNS: 1_400_000, SilentNS: 500 * ms}
	late := motor
	late.SilentNS = 2680 * ms
	stopped := event.LossOutput{Output: 1, WasNS: 1_700_000, NowNS: 1_700_000, SilentNS: 500 * ms}
	for _, x := range []struct {
		name    string
		do      func(*bereft)
		watched unit.Duration
		want    []event.LossOutput
	}{
		{"all hold", func(*bereft) {}, 2 * unit.Second, []event.LossOutput{hold, motor}},
		{"the motor stops", func(b *bereft) { b.width[3] = 988_000 }, 2 * unit.Second, []event.LossOutput{hold, cut}},
		{"the motor falls silent", func(b *bereft) { b.width[3] = 0 }, 2 * unit.Second, []event.LossOutput{hold, silent}},
		{"the signal is back soon", func(*bereft) {}, 740 * ms, nil},
		{"the signal is back after half of it", func(*bereft) {}, 780 * ms, []event.LossOutput{hold, motor}},
		{"the motor falls silent just before it is told", func(b *bereft) {
			b.run(unit.Second)
			b.loss(event.PhaseSettled)
			b.run(1200 * ms)
			b.width[3] = 0
		}, 290 * ms, []event.LossOutput{hold, motor}},
		{"the motor fell silent long enough before", func(b *bereft) {
			b.run(unit.Second)
			b.loss(event.PhaseSettled)
			b.run(1180 * ms)
			b.width[3] = 0
		}, 320 * ms, []event.LossOutput{hold, late}},
		{"all fall silent, and the board says so", func(b *bereft) { b.width = nil }, 2 * unit.Second, []event.LossOutput{stopped, silent}},
		{"the board is silent too", func(b *bereft) { b.width, b.board = nil, false }, 2 * unit.Second, nil},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := bereftOf(t, gone(x.do, x.watched))
			if x.want == nil {
				assert.Empty(t, events)
				return
			}
			e := one(t, events)
			assert.Equal(t, event.LossOutputs, e.Kind)
			assert.Equal(t, "tap:leads", e.About)
			assert.Equal(t, unit.Time(3*unit.Second), e.From)
			assert.Equal(t, event.LossOutputsData{Tap: "leads", Bus: "main", LiveNS: unit.Time(3 * unit.Second), Outputs: x.want}, e.Data)
		})
	}
}

// What outputs do from the first frame of a signal that is back on is not what they did without one, nor what they did
// just before, where the bus is read later than they are.
func TestOutputsWhenTheSignalIsBack(t *testing.T) {
	moves := func(b *bereft) { b.width = map[int]unit.Width{1: 1_500_000, 3: 1_100_000} }
	stood := event.LossOutput{Output: 3, WasNS: 1_400_000, NowNS: 1_400_000, LeastNS: 1_400_000, MostNS: 1_400_000, SilentNS: -1}
	went := event.LossOutput{Output: 3, WasNS: 1_400_000, NowNS: 1_100_000, LeastNS: 1_100_000, MostNS: 1_400_000, SilentNS: -1}
	for _, x := range []struct {
		name   string
		settle func(*bereft) // what becomes of the bus once it has settled, until the signal is back
		back   func(*bereft)
		want   event.LossOutput
	}{
		{"flags go", func(b *bereft) { b.bus, b.flags = true, bus.Failsafe }, func(b *bereft) { b.flags = 0 }, stood},
		{"flags go, and the bus is read late", func(b *bereft) { b.bus, b.flags = true, bus.Failsafe }, func(b *bereft) {
			moves(b)
			b.run(60 * ms)
			b.flags = 0
		}, stood},
		{"flags were gone for a moment", func(b *bereft) { b.bus, b.flags = true, bus.Failsafe }, func(b *bereft) {
			b.flags = 0
			b.run(60 * ms)
			b.flags = bus.Failsafe
		}, went},
		{"a silent bus speaks", func(b *bereft) { b.bus = false }, func(b *bereft) { b.bus = true }, stood},
		{"there are no flags, and nobody was asked to switch on", func(b *bereft) { b.bus = true }, func(*bereft) {}, went},
		{"there are no flags, and somebody was", func(b *bereft) { b.bus = true }, func(b *bereft) {
			b.view.Drill, b.view.Prompt = drill.Failsafe, "failsafe/soon/on"
		}, stood},
	} {
		for _, restored := range []unit.Duration{200 * ms, 600 * ms} { // told at the end of the loss, or while it goes on
			events := bereftOf(t, func(b *bereft) {
				b.bus = true
				b.run(3 * unit.Second)
				b.loss(event.PhaseLost)
				b.run(unit.Second)
				x.settle(b)
				b.loss(event.PhaseSettled)
				b.run(unit.Second)
				x.back(b)
				moves(b)
				b.run(restored)
				b.loss("")
				b.run(unit.Second)
			})
			assert.Equal(t, x.want, one(t, events).Data.(event.LossOutputsData).Outputs[1], "%s, %s", x.name, restored)
		}
	}
}

// One odd pulse is not where an output stood, nor where it went.
func TestAnOddPulseInALoss(t *testing.T) {
	odd := func(b *bereft) {
		b.see(&event.Observation{At: b.at, Wire: b.at, Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: 1, Width: 2_200_000}})
	}
	events := bereftOf(t, func(b *bereft) {
		b.run(3 * unit.Second)
		odd(b)
		b.loss(event.PhaseLost)
		b.run(unit.Second)
		b.loss(event.PhaseSettled)
		b.run(unit.Second)
		odd(b)
		b.run(unit.Second)
	})
	d := one(t, events).Data.(event.LossOutputsData)
	assert.Equal(t, event.LossOutput{Output: 1, WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_700_000, MostNS: 1_700_000, SilentNS: -1}, d.Outputs[0])
}

// An output that was silent before the loss did nothing in it.
func TestAnOutputThatWasSilentBefore(t *testing.T) {
	events := bereftOf(t, func(b *bereft) {
		b.run(unit.Second)
		b.width[3] = 0
		gone(func(*bereft) {}, 2*unit.Second)(b)
	})
	d := one(t, events).Data.(event.LossOutputsData)
	require.Len(t, d.Outputs, 1)
	assert.Equal(t, 1, d.Outputs[0].Output)
}

// How far an output went is counted from the latest loss on.
func TestEachLossHasItsOwnExtremes(t *testing.T) {
	events := bereftOf(t, func(b *bereft) {
		gone(func(b *bereft) { b.width[1] = 1_300_000 }, 4*unit.Second)(b)
		b.width[1] = 1_700_000
		gone(func(*bereft) {}, 4*unit.Second)(b)
	})
	require.Len(t, events, 2)
	assert.Equal(t, event.LossOutput{Output: 1, WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_700_000, MostNS: 1_700_000, SilentNS: -1},
		events[1].Data.(event.LossOutputsData).Outputs[0])
}

// Each loss is reported once; the next one anew.
func TestTwoLosses(t *testing.T) {
	events := bereftOf(t, func(b *bereft) {
		gone(func(b *bereft) { b.width[1] = 1_500_000 }, 4*unit.Second)(b)
		gone(func(b *bereft) { b.width[1] = 1_600_000 }, 4*unit.Second)(b)
	})
	require.Len(t, events, 2)
	assert.Equal(t, unit.Width(1_500_000), events[1].Data.(event.LossOutputsData).Outputs[0].WasNS)
	assert.Equal(t, unit.Width(1_600_000), events[1].Data.(event.LossOutputsData).Outputs[0].NowNS)
}

// A loss that is found out late is looked up as it began.
func TestALossThatIsFoundOutLate(t *testing.T) {
	events := bereftOf(t, func(b *bereft) {
		b.run(3 * unit.Second)
		began := b.at
		b.width[1] = 1_500_000
		b.run(4 * unit.Second)
		b.view.Taps[1].LossAt, b.view.Taps[1].Loss = began, event.PhaseLost
		b.run(unit.Second)
		b.loss(event.PhaseSettled)
		b.run(2 * unit.Second)
	})
	d := one(t, events).Data.(event.LossOutputsData)
	assert.Equal(t, unit.Width(1_700_000), d.Outputs[0].WasNS)
	assert.Equal(t, unit.Width(1_500_000), d.Outputs[0].NowNS)
}

// What the outputs do once the signal is back is none of the loss, however short the
// loss was after the bus had settled: a motor that runs again was not left running.
func TestOutputsAfterALossAreNotOfIt(t *testing.T) {
	for _, phase := range []string{"", event.PhaseBack} {
		events := bereftOf(t, func(b *bereft) {
			b.run(3 * unit.Second)
			b.loss(event.PhaseLost)
			b.run(500 * ms)
			b.width[3] = 988_000
			b.run(4500 * ms)
			b.loss(event.PhaseSettled)
			b.run(40 * ms)
			b.loss(phase)
			b.width[3] = 1_400_000
			b.run(3 * unit.Second)
			b.see(&event.Observation{At: b.at, Wire: b.at, Kind: event.InputEnd})
		})
		assert.Empty(t, events, "phase %q", phase)
	}
}

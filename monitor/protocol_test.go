package monitor_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// twelveSheet is of a model whose bus may have any protocol with twelve channels or more,
// with flags or without.
const twelveSheet = `sheet: 1
model: Reedwing 1400
taps: {main: {kind: bus, carries: heard%s}}
channels:
  1: {name: elevator, kind: stick, ends: {back: 2000, forward: 1000}, neutral: 1500}
  2: {name: aileron, kind: stick, ends: {left: 1000, right: 2000}, neutral: 1500}
  3: {name: throttle, kind: throttle, drives: motor, cut: 1000, full: 2000}
  6: {name: strength, kind: knob, ends: {low: 1040, high: 1930}}
  7: {name: aid, kind: switch, positions: {first: 1040, second: 1500, third: 1930}}
  12: {name: teach, kind: momentary, rest: 1040, pressed: 1930}
gain: {channel: strength, law: one-sided, zero: 1040, full: 1930}
stabiliser:
  windows: {from: guess}
  margin: 50 us
  modes:
    plain:   {when: [{aid: [0, 1250]}],    wanted_at: [{aid: first}]}
    damping: {when: [{aid: [1250, 1750]}], wanted_at: [{aid: second}]}
    upright: {when: [{aid: [1750, 3000]}], wanted_at: [{aid: third}]}
gestures: {learning: {channel: teach, from: rest, times: 3, within: 3s, allowed: never}}
failsafe: {flag: absent, within: 1.5s, heard: {default: hold, throttle: cut}}
`

func sheetOn(t *testing.T, protocol string) *sheet.Sheet {
	t.Helper()
	named := ""
	if protocol != "" {
		named = ", protocol: " + protocol
	}
	p := sheet.Parser{Protocols: append(protocols.All(), bustest.Twelve())}
	s, err := p.Read("twelve.yaml", fmt.Appendf(nil, twelveSheet, named))
	require.NoError(t, err)
	return s
}

const frameEvery = 7 * unit.Millisecond

// hands are the widths of the channels in frame n, ns; by channel number.
type hands func(n int, set func(channel int, width int64))

// inputsOf are what a bus carries and a computer reads: inputs, of which the bytes are in
// the protocol of the sheet.
func inputsOf(s *sheet.Sheet, frames int, do hands, spoil func(n int, raw []byte)) (list []event.Input) {
	start, _ := json.Marshal(event.Start{Build: "test", WallNS: 1_700_000_000_000_000_000, Taps: []event.TapName{{Name: "main",
		Kind: "bus", Protocol: s.Taps[0].Protocol}}})
	list = append(list, event.Input{Kind: event.InputBegin, Data: start}, event.Input{Tap: 1, Kind: event.InputTapUp, Data: []byte(`{"port":"p"}`)})
	for n := range frames {
		at := unit.Time(unit.Duration(n+1) * frameEvery)
		if n%143 == 0 {
			list = append(list, event.Input{At: at, Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(1_700_000_000_000_000_000+int64(at)))})
		}
		f := bus.Frame{}
		set := func(channel int, width int64) { f.Counts[channel-1] = uint32(s.Scale.Count(width)) }
		for channel := 1; channel <= s.Protocol.Channels; channel++ {
			set(channel, 1_500_000)
		}
		do(n, set)
		raw := make([]byte, s.Protocol.FrameLen)
		s.Protocol.Encode(&f, raw)
		if spoil != nil {
			spoil(n, raw)
		}
		list = append(list, event.Input{At: at, Tap: 1, Kind: event.InputBytes, Data: raw})
	}
	return append(list, event.Input{At: unit.Time(unit.Duration(frames+1) * frameEvery), Kind: event.InputEnd})
}

// inputList is a source of inputs.
type inputList struct{ left []event.Input }

func (l *inputList) Next(in *event.Input) error {
	if len(l.left) == 0 {
		return io.EOF
	}
	*in, l.left = l.left[0], l.left[1:]
	return nil
}

// judged are the events and the verdicts of a source, and the engine at its end.
func judged(t *testing.T, s *sheet.Sheet, from engine.Source) (events []event.Event, verdicts map[string]string, b *engine.Engine) {
	t.Helper()
	b = engine.New(s, func(e *event.Event, _ int64) { events = append(events, *e) })
	require.NoError(t, engine.Run(from, b, nil))
	verdicts = map[string]string{}
	for _, c := range b.Claims() {
		verdicts[c.ID] = string(c.Verdict)
	}
	return events, verdicts, b
}

// underWay is where something lies that goes from one width to another in frames of its
// own, from frame first on.
func underWay(n, first, frames int, from, to int64) int64 {
	done := int64(min(max(n-first, 0), frames))
	return from + (to-from)*done/int64(frames)
}

// there moves to a width and back.
func there(n, first int, from, to int64) int64 {
	if n < first+150 {
		return underWay(n, first, 60, from, to)
	}
	return underWay(n, first+150, 60, to, from)
}

// everything moves each stick to its ends, the knob over its way and each switch to its
// places; third is where the last position of the mode switch is.
func everything(third int64) hands {
	return func(n int, setWidth func(int, int64)) {
		set := func(channel int, micros int64) { setWidth(channel, 1000*micros) }
		set(1, there(n, 100, 1500, 2000)+there(n, 400, 1500, 1000)-1500)
		set(2, there(n, 700, 1500, 2000)+there(n, 1000, 1500, 1000)-1500)
		set(3, there(n, 1300, 1000, 2000))
		set(6, there(n, 1600, 1040, 1930))
		aid := int64(1040)
		switch {
		case n >= 2600:
		case n >= 2300:
			aid = third
		case n >= 2000:
			aid = 1500
		}
		set(7, aid)
		teach := int64(1040)
		if n >= 2900 && n < 3000 {
			teach = 1930
		}
		set(12, teach)
		if n == 3100 { // one wrong frame
			set(2, 1700)
		}
	}
}

// A protocol that no production code knows goes from the sheet through bytes to
// verdicts, and gives the same ones at the same moments as the servo bus with the same
// hands: whatever its counts are worth, its frame's length and its rate.
func TestAnyProtocolGivesTheSameVerdicts(t *testing.T) {
	for name, c := range map[string]struct {
		third int64
		right []string
		wrong []string
	}{
		"all as it should be": {
			1930, []string{"position/aid/third", "mode/upright/third", "margin/upright/third", "passing/no-mode", "gain/span", "momentary/teach"}, nil,
		},
		"a switch in a wrong place": {
			1700, []string{"position/aid/second", "mode/damping/second"}, []string{"position/aid/third", "mode/upright/third"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			servo, twelve := sheetOn(t, ""), sheetOn(t, "twelve")
			was, known, _ := judged(t, servo, &inputList{inputsOf(servo, 3600, everything(c.third), nil)})
			is, found, _ := judged(t, twelve, &inputList{inputsOf(twelve, 3600, everything(c.third), nil)})
			assert.Equal(t, known, found)
			assert.Equal(t, outline(was), outline(is))
			for _, id := range c.right {
				assert.Equal(t, "seen right", found[id], id)
			}
			for id, verdict := range found {
				assert.Equal(t, slices.Contains(c.wrong, id), verdict == "seen wrong", id)
				assert.NotContains(t, id, "flag", "a bus without flags has no claim about any")
			}
		})
	}
}

// outline is what happened when, without the figures. When a framer believes its first
// frame is its own business; and where a knob rests between two counts, one that counts
// finer sees it leave half a count earlier or later.
func outline(events []event.Event) (list []string) {
	for _, e := range events {
		at, from := e.At, e.From
		switch e.Kind {
		case event.BusLocked:
			at = from
		case event.GainSwept:
			from = at
		}
		list = append(list, fmt.Sprintf("%d %d %s %s", at, from, e.Kind, e.About))
	}
	return list
}

// erratic hands slam, tremble, hold, leap and drop single frames by a seed. Counts are
// those of the servo bus, which every channel here has a width for.
func erratic(seed uint64) hands {
	rng := rand.New(rand.NewPCG(seed, 1))
	at, to, step := [13]int64{}, [13]int64{}, [13]int64{}
	for ch := range at {
		at[ch], to[ch] = 992, 992
	}
	return func(_ int, set func(int, int64)) {
		if rng.IntN(400) == 0 { // a receiver, or another model
			for ch := range at {
				at[ch] = 200 + rng.Int64N(1600)
				to[ch] = at[ch]
			}
		}
		for ch := 1; ch <= 12; ch++ {
			if at[ch] == to[ch] && rng.IntN(90) == 0 {
				to[ch], step[ch] = 200+rng.Int64N(1600), 1+rng.Int64N(1<<rng.IntN(11))
			}
			at[ch] += max(-step[ch], min(to[ch]-at[ch], step[ch]))
			count := at[ch]
			switch rng.IntN(300) {
			case 0:
				count = 200 + rng.Int64N(1600)
			case 1, 2, 3, 4:
				count += rng.Int64N(7) - 3
			}
			set(ch, count)
		}
	}
}

// Limits are widths, whatever a count is worth: hands of every kind are judged alike on
// both protocols, event by event.
func TestLimitsAreWidthsOnAnyProtocol(t *testing.T) {
	kinds := map[string]int{}
	for seed := range uint64(40) {
		servo, twelve := sheetOn(t, ""), sheetOn(t, "twelve")
		was, known, _ := judged(t, servo, &inputList{inputsOf(servo, 2500, counted(servo, seed), nil)})
		is, found, _ := judged(t, twelve, &inputList{inputsOf(twelve, 2500, counted(servo, seed), nil)})
		require.Equal(t, outline(was), outline(is), "seed %d", seed)
		require.Equal(t, known, found, "seed %d", seed)
		for _, e := range is {
			kinds[e.Kind]++
		}
	}
	for _, kind := range []string{event.ValueSpiked, event.ValuesJumped, event.GainSwept, event.SwitchMoved, event.ValuesPaused} {
		assert.Positive(t, kinds[kind], "%s: the hands are erratic enough to be seen by %v", kind, kinds)
	}
}

// counted are erratic hands, each count as the width that it has on a sheet's bus.
func counted(s *sheet.Sheet, seed uint64) hands {
	do := erratic(seed)
	return func(n int, set func(int, int64)) {
		do(n, func(channel int, count int64) { set(channel, s.Scale.Width(count)) })
	}
}

// A recording names the protocol, and its replay gives what was seen live; so does an
// engine that goes on from checkpoints.
func TestARecordingOnAnyProtocolReplays(t *testing.T) {
	s := sheetOn(t, "twelve")
	inputs := inputsOf(s, 3600, everything(1700), nil)
	live, verdicts, _ := judged(t, s, &inputList{slices.Clone(inputs)})

	var file bytes.Buffer
	w, err := recording.NewWriter(&file, recording.Section{Base: 1_700_000_000_000_000_000, Build: "test",
		Taps: []event.TapName{{Name: "main", Kind: "bus", Protocol: "twelve"}}})
	require.NoError(t, err)
	for i := range inputs {
		require.NoError(t, w.Write(&inputs[i]))
	}
	require.NoError(t, w.Flush())
	assert.Contains(t, file.String(), `{"name":"main","kind":"bus","protocol":"twelve"}`)
	replayed, again, _ := judged(t, s, recording.NewReader(bytes.NewReader(file.Bytes())))
	assert.Equal(t, live, replayed)
	assert.Equal(t, verdicts, again)

	var resumed []event.Event
	hear := func(e *event.Event, _ int64) { resumed = append(resumed, *e) }
	b := engine.New(s, hear)
	for i := range inputs {
		if i%401 == 400 {
			state, err := b.Checkpoint()
			require.NoError(t, err)
			b, err = engine.Restore(state, s, hear)
			require.NoError(t, err)
		}
		b.Step(&inputs[i])
	}
	assert.Equal(t, live, resumed)
}

// What is refused has the protocol's own reasons, and those alone, everywhere.
func TestReasonsOfAnyProtocol(t *testing.T) {
	s := sheetOn(t, "twelve")
	inputs := inputsOf(s, 400, everything(1930), func(n int, raw []byte) {
		if n == 200 {
			raw[10] ^= 0x40
		}
	})
	b := engine.New(s, func(*event.Event, int64) {})
	for i := range inputs[:len(inputs)-1] {
		b.Step(&inputs[i])
	}
	tap := b.State().Taps[0]
	assert.Equal(t, []state.Refused{{Reason: "no-header", Bytes: 39}, {Reason: "bad-sum", Bytes: 1}, {Reason: "cut-off"}}, tap.Refused)
	require.Len(t, tap.Channels, 12)
	assert.Equal(t, uint32(1_500_000), tap.Channels[0].Count)
	assert.Equal(t, unit.Width(1_500_000), tap.Channels[0].WidthNS)

	events, _, _ := judged(t, s, &inputList{inputs})
	damage := ""
	for _, e := range events {
		if e.Kind == event.WireDamaged {
			damage = fmt.Sprint(e.Data.(event.DamageData).Refused)
		}
	}
	assert.Equal(t, "map[bad-sum:1 no-header:39]", damage)
}

package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const aileron = 1

func TestMovesTellWhatChannelsDid(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	r.ramp("aileron", 1500, 1900, 20)
	r.hear(3 * period) // four frames in all: fewer would not be there
	r.ramp("aileron", 1880, 1400, -20)
	r.hear(100 * unit.Millisecond)
	m := move(t, r.done(), aileron)
	assert.Equal(t, unit.Width(1_500_000), m.FromNS)
	assert.Equal(t, unit.Width(1_400_000), m.ToNS)
	assert.Equal(t, unit.Width(1_400_000), m.LeastNS)
	assert.Equal(t, unit.Width(1_900_000), m.MostNS)
	assert.Equal(t, unit.Width(1_500_000), move(t, r.answer(), 2).MostNS, "a channel that did nothing")

	r.hear(100 * unit.Millisecond)
	m = move(t, r.done(), aileron)
	assert.Equal(t, event.ChannelMove{Channel: aileron, FromNS: 1_400_000, ToNS: 1_400_000, LeastNS: 1_400_000, MostNS: 1_400_000,
		FlatNS: m.FlatNS}, m, "each prompt begins anew")
	assert.Equal(t, 13*period, m.FlatNS)
}

// A channel at 14 frames a tenth of a second: 20 µs a frame are 80 µs in 28 ms. The
// last three frames have not been taken yet.
func TestFlatAndFast(t *testing.T) {
	for name, c := range map[string]struct {
		play func(r *rig)
		flat unit.Duration
		fast int64
	}{
		"a limit that cuts off":  {func(r *rig) { r.ramp("aileron", 1500, 1900, 20); r.hear(20 * period) }, 17 * period, 80_000},
		"the other way":          {func(r *rig) { r.ramp("aileron", 1500, 1100, -20); r.hear(20 * period) }, 17 * period, 80_000},
		"a hand that slows down": {func(r *rig) { r.ramp("aileron", 1500, 1860, 20); r.ramp("aileron", 1860, 1900, 5); r.hear(20 * period) }, 17 * period, 20_000},
		"a leap":                 {func(r *rig) { r.set("aileron", 1900); r.hear(20 * period) }, 16 * period, 400_000},
		"and back":               {func(r *rig) { r.set("aileron", 1900); r.hear(20 * period); r.set("aileron", 1500); r.hear(50 * period) }, 19 * period, 400_000},
		"the longer of two": {func(r *rig) {
			r.set("aileron", 1900)
			r.hear(5 * period)
			r.ramp("aileron", 1895, 1880, -5)
			r.ramp("aileron", 1885, 1900, 5)
			r.hear(30 * period)
		}, 27 * period, 10_000},
		"the longer of two, first": {func(r *rig) {
			r.set("aileron", 1900)
			r.hear(30 * period)
			r.ramp("aileron", 1895, 1880, -5)
			r.ramp("aileron", 1885, 1900, 5)
			r.hear(5 * period)
		}, 29 * period, 400_000},
		"three frames off are no end": {func(r *rig) {
			r.set("aileron", 1900)
			r.hear(10 * period)
			r.set("aileron", 1500)
			r.hear(3 * period)
			r.set("aileron", 1900)
			r.hear(10 * period)
		}, 19 * period, 400_000},
		"a tremble is one": {func(r *rig) {
			r.set("aileron", 1900)
			r.hear(10 * period)
			r.set("aileron", 1899)
			r.hear(4 * period)
			r.set("aileron", 1900)
			r.hear(8 * period)
		}, 9 * period, 400_000},
		"a silence ends it": {func(r *rig) {
			r.set("aileron", 1900)
			r.hear(10 * period)
			r.now = r.now.Add(unit.Second)
			r.hear(11 * period)
		}, 6 * period, 400_000},
		"three frames are nothing": {func(r *rig) {
			r.set("aileron", 2012)
			r.hear(3 * period)
			r.set("aileron", 1500)
			r.hear(20 * period)
		}, 22 * period, 0},
		"nothing": {func(r *rig) { r.hear(20 * period) }, 19 * period, 0},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.start("neutral")
			c.play(r)
			m := move(t, r.done(), aileron)
			assert.Equal(t, c.flat, m.FlatNS)
			assert.InDelta(t, c.fast, int64(m.FastNS), 1000, "a count is 625 ns")
		})
	}
}

func TestThreeFramesSettleNothing(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	r.hear(10 * period)
	r.set("aileron", 2012)
	r.hear(3 * period)
	r.set("aileron", 1500)
	r.hear(10 * period)
	m := move(t, r.done(), aileron)
	assert.Equal(t, unit.Width(1_500_000), m.MostNS)
	r.hear(10 * period)
	r.once("aileron", 2012)
	assert.Equal(t, unit.Width(1_500_000), move(t, r.done(), aileron).ToNS)
}

func TestTheWorstSignalIsTold(t *testing.T) {
	flags := func(b bus.Flags, d unit.Duration) func(r *rig) {
		return func(r *rig) { r.frame.Flags = b; r.hear(d); r.frame.Flags = 0 }
	}
	for name, c := range map[string]struct {
		play func(r *rig)
		want event.Signal
	}{
		"live":                {func(*rig) {}, event.SignalLive},
		"a few missed frames": {flags(4, 5*period), event.SignalLive},
		"missed for long":     {flags(4, unit.Second), event.SignalMissed},
		"the air is gone": {func(r *rig) {
			r.hearing.Signal = event.SignalFailsafe
			r.hear(period)
			r.hearing.Signal = event.SignalLive
		}, event.SignalFailsafe},
		"missed, then the air gone": {func(r *rig) {
			flags(4, unit.Second)(r)
			r.hearing.Signal = event.SignalFailsafe
			flags(12, unit.Second)(r)
			r.hearing.Signal = event.SignalLive
			flags(4, unit.Second)(r)
		}, event.SignalFailsafe},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.start("neutral")
			r.hear(unit.Second)
			c.play(r)
			r.hear(unit.Second)
			assert.Equal(t, c.want, r.done().Signal)
			r.hear(unit.Second)
			assert.Equal(t, event.SignalLive, r.done().Signal, "of one prompt, not of the next")
		})
	}
}

// Values that come with a flag are not the transmitter's.
func TestFlaggedFramesMoveNothing(t *testing.T) {
	for _, flag := range []bus.Flags{4, 8, 12} {
		r := newRig(t, starter(t))
		r.start("neutral")
		r.hear(unit.Second)
		r.frame.Flags = flag
		r.set("aileron", 2012)
		r.hear(unit.Second)
		m := move(t, r.done(), aileron)
		assert.Equal(t, unit.Width(1_500_000), m.MostNS)
		assert.Equal(t, unit.Width(1_500_000), m.ToNS)
	}
}

func TestASuspectedPresetIsTold(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	r.hearing.Suspect = true
	r.hear(unit.Second)
	r.hearing.Suspect = false
	r.hear(unit.Second)
	assert.True(t, r.done().Suspect)
	r.hear(unit.Second)
	assert.False(t, r.done().Suspect)
}

func TestNothingHeard(t *testing.T) {
	r := newRig(t, starter(t))
	r.step("neutral", event.StepBegin)
	r.step("neutral", event.StepConfirm)
	d := r.done()
	assert.Zero(t, d.Frames)
	assert.Empty(t, d.Signal)
	require.Len(t, d.Channels, 16)
	assert.Equal(t, event.ChannelMove{Channel: 16}, d.Channels[15])

	r.hear(100 * period)
	assert.Equal(t, int64(94), r.done().Frames, "the first with six others, and three late")
	r.hear(100 * period)
	assert.Equal(t, int64(100), r.done().Frames)
}

func TestAnotherTapIsNotListenedTo(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	for range 100 {
		f := r.frame
		r.see(event.Observation{At: r.now.Add(period), Wire: r.now.Add(period), Tap: tap + 1, Kind: event.FrameSeen, Frame: &f})
	}
	assert.Zero(t, r.done().Frames)
}

func TestDigitalChannelsAreToldWhereTheSheetHasThem(t *testing.T) {
	s := small(t, `channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}}
  17: {name: sel, kind: switch, positions: {off: 988, on: 2012}}
stabiliser:
  windows: {from: manual}
  modes:
    one: {when: [{sel: [1500, 3000]}], wanted_at: [{sel: on}]}
`)
	r := newRig(t, s)
	r.start("mode")
	r.frame.Flags = 1
	r.hear(unit.Second)
	d := r.answer()
	require.Len(t, d.Channels, 17)
	m := move(t, d, 17)
	assert.Equal(t, unit.Width(988_000), m.FromNS)
	assert.Equal(t, unit.Width(2_012_000), m.ToNS)
}

func TestAFrameCostsNoAllocation(t *testing.T) {
	r := newRig(t, starter(t))
	o := event.Observation{Tap: tap, Kind: event.FrameSeen, Frame: &r.frame}
	hear := func() {
		o.At = o.At.Add(period)
		o.Wire = o.At
		r.runner.See(&o, &r.hearing, r.emit)
	}
	assert.Zero(t, testing.AllocsPerRun(1000, hear), "without a drill")
	r.start("neutral")
	o.At = r.now
	for range 20 {
		hear()
	}
	assert.Zero(t, testing.AllocsPerRun(1000, hear), "in a drill")
}

package account_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// The worst hour is kept minute by minute: all that was counted in it is in its minutes.
func TestTheWorstHourEnlarged(t *testing.T) {
	r := newRig(t, plain, "")
	assert.Nil(t, r.shown().Taps[0].WorstHour, "nothing was seen")
	r.goOn(3*hour+10*unit.Minute, 100, 0)
	assert.Nil(t, r.shown().Taps[0].WorstHour, "nothing happened")
	r.goOn(5*unit.Second, 100, 2)
	r.goOn(10*unit.Minute, 100, 0)
	r.lose(2 * unit.Second)
	r.goOn(unit.Minute, 100, 0)
	under := r.shown().Taps[0].WorstHour
	require.NotNil(t, under, "that under way")
	r.goOn(2*hour, 100, 0)
	r.goOn(unit.Minute, 100, 1)
	tap := r.shown().Taps[0]
	worst := tap.WorstHour
	assert.Equal(t, unit.Time(3*hour), worst.FromNS)
	require.Len(t, worst.Minutes, 60)
	assert.EqualValues(t, 10, worst.Minutes[10].Missed)
	assert.EqualValues(t, 1, worst.Minutes[20].Outages)
	assert.Equal(t, under.Minutes[20], worst.Minutes[20])
	var sum state.SoakHour
	for _, m := range worst.Minutes {
		sum.LiveNS, sum.Frames, sum.Missed, sum.Outages = sum.LiveNS+m.LiveNS, sum.Frames+m.Frames, sum.Missed+m.Missed, sum.Outages+m.Outages
	}
	h := tap.Strip[tap.Worst]
	assert.Equal(t, state.SoakHour{LiveNS: h.LiveNS, Frames: h.Frames, Missed: h.Missed, Outages: h.Outages}, sum)

	// A worse one takes its place, also behind the hours that are merged two by two.
	r.goOn(400*hour, 100, 0)
	r.lose(unit.Second)
	r.goOn(unit.Minute, 100, 0)
	r.lose(unit.Second)
	r.goOn(3*hour, 100, 0)
	worst = r.shown().Taps[0].WorstHour
	assert.Equal(t, unit.Time(405*hour), worst.FromNS)
	assert.EqualValues(t, 1, worst.Minutes[22].Outages)
	assert.EqualValues(t, 1, worst.Minutes[23].Outages)
	assert.Zero(t, worst.Minutes[10].Missed)
}

func TestTheDriftOfNoneIsSaidOnce(t *testing.T) {
	r := newRig(t, plain+"  2: {name: elevator, kind: stick, ends: {forward: 988, back: 2012}, neutral: 1500}\n", "")
	r.goOn(unit.Minute, 100, 0)
	assert.Contains(t, r.shown().NotProven, "the drift of channel 1 (aileron), channel 2 (elevator): nothing was heard of it")
}

// A width that never rested, one that was watched too shortly, and a lead without a pulse are
// three things.
func TestWhyThereIsNoDrift(t *testing.T) {
	const leads = plain + "taps: {main: {kind: bus}, leads: {kind: pulses}}\noutputs:\n  1: {surface: left aileron, moved_by: {aileron: 1.0}}\n"
	for name, c := range map[string]struct {
		pulses func(*rig)
		want   string
	}{
		"no pulse":  {func(r *rig) { r.goOn(5*unit.Minute, 100, 0) }, "no pulse came on its lead"},
		"one pulse": {func(r *rig) { r.output(1_500_000); r.goOn(30*unit.Second, 100, 0) }, "no whole minute of it was watched"},
		"moves": {func(r *rig) {
			for i := range unit.Width(300) {
				r.output(1_500_000 + i%2*50_000)
				r.goOn(unit.Second, 100, 0)
			}
		}, "it stood still for no whole minute of those that were watched"},
	} {
		r := newRig(t, leads, "")
		c.pulses(r)
		assert.Equal(t, c.want, r.shown().Rests[0].Why, name)
	}
}

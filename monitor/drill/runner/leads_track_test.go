package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// lead is a servo lead: pulses of a width on an output.
type lead struct {
	output int
	width  unit.Width // ns
	epoch  int
}

// pulses lets frames and the leads' pulses come for d, 50 times a second.
func (r *rig) pulses(d unit.Duration, list ...lead) {
	const every = 20 * unit.Millisecond
	for end := r.now.Add(d); r.now.Add(every) <= end; {
		r.hear(3 * period / 2)
		next := r.now.Truncate(every).Add(every)
		for _, l := range list {
			r.pulse(next, l)
		}
	}
}

func (r *rig) pulse(at unit.Time, l lead) {
	r.see(event.Observation{At: at, Wire: at, Tap: board, Kind: event.PulseSeen,
		Pulse: &event.Pulse{Output: l.output, Rise: at.Add(-l.width.Duration()).Sub(0), Width: l.width, Epoch: l.epoch}})
}

func outputMove(t testing.TB, d event.DrillAnsweredData, output int) event.OutputMove {
	for _, m := range d.Outputs {
		if m.Output == output {
			return m
		}
	}
	require.Fail(t, "no such output")
	return event.OutputMove{}
}

// What an output did between a prompt and its answer.
func TestOutputsAreFollowed(t *testing.T) {
	const rest, up = unit.Width(1_500_000), unit.Width(1_584_000)
	steady := func(r *rig, d unit.Duration, w unit.Width) { r.pulses(d, lead{2, w, 0}) }
	for name, x := range map[string]struct {
		before, after func(r *rig)
		want          event.OutputMove
	}{
		"a tilt that stays": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) { steady(r, unit.Second, rest); steady(r, 2*unit.Second, up) },
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, EndMeanNS: up, Pulses: 150},
		},
		"a kick": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) { steady(r, 200*unit.Millisecond, 1_450_000); steady(r, 2*unit.Second, rest) },
			event.OutputMove{FromNS: rest, LeastNS: 1_450_000, MostNS: rest, EndMeanNS: rest, Pulses: 110},
		},
		"an odd pulse is left out": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				steady(r, unit.Second, rest)
				steady(r, 20*unit.Millisecond, 1_900_000)
				steady(r, 1980*unit.Millisecond, rest)
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 150},
		},
		"two odd pulses are not": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				steady(r, unit.Second, rest)
				steady(r, 40*unit.Millisecond, 1_900_000)
				steady(r, 1960*unit.Millisecond, rest)
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: 1_900_000, EndMeanNS: rest, Pulses: 150},
		},
		"half of the pulses are lost": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				for range 75 {
					steady(r, 20*unit.Millisecond, up)
					r.hear(20 * unit.Millisecond)
				}
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, EndMeanNS: up, Pulses: 75},
		},
		"the first after a hole says nothing yet": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				steady(r, unit.Second, rest)
				r.hear(300 * unit.Millisecond)
				r.pulse(r.now.Add(period), lead{2, 1_900_000, 0})
				r.pulse(r.now.Add(period), lead{2, 1_900_000, 0})
				r.hear(300 * unit.Millisecond)
				steady(r, 1360*unit.Millisecond, rest)
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 120},
		},
		"nor after the board began anew": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				steady(r, unit.Second, rest)
				r.pulses(40*unit.Millisecond, lead{2, 1_900_000, 1})
				r.pulses(1960*unit.Millisecond, lead{2, rest, 2})
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 150},
		},
		"silent at the prompt": {
			func(r *rig) { r.hear(unit.Second) },
			func(r *rig) { steady(r, 2*unit.Second, up) },
			event.OutputMove{LeastNS: up, MostNS: up, EndMeanNS: up, Pulses: 100},
		},
		"silent at the end": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) { steady(r, unit.Second, rest); r.hear(1500 * unit.Millisecond) },
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, Pulses: 50},
		},
		"silent all along": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) { r.hear(2 * unit.Second) },
			event.OutputMove{FromNS: rest},
		},
		"a hand that begins too early": {
			func(r *rig) { steady(r, 800*unit.Millisecond, rest); steady(r, 200*unit.Millisecond, up) },
			func(r *rig) { steady(r, 2*unit.Second, up) },
			event.OutputMove{FromNS: rest, LeastNS: up, MostNS: up, EndMeanNS: up, Pulses: 100},
		},
		"where it stood long before does not count": {
			func(r *rig) { steady(r, unit.Second, 1_400_000); steady(r, 840*unit.Millisecond, rest) },
			func(r *rig) { steady(r, 2*unit.Second, rest) },
			event.OutputMove{FromNS: rest, SwayNS: 100_000, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 100},
		},
		"nor how it had moved a second before": {
			func(r *rig) { steady(r, unit.Second, 1_400_000); steady(r, 1200*unit.Millisecond, rest) },
			func(r *rig) { steady(r, 2*unit.Second, rest) },
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 100},
		},
		"it twitched": {
			func(r *rig) {
				steady(r, 600*unit.Millisecond, rest)
				steady(r, 60*unit.Millisecond, rest+30_000)
				steady(r, 640*unit.Millisecond, rest)
			},
			func(r *rig) { steady(r, 2*unit.Second, rest) },
			event.OutputMove{FromNS: rest, SwayNS: 30_000, LeastNS: rest, MostNS: rest, EndMeanNS: rest, Pulses: 100},
		},
		"it swings by itself": {
			func(r *rig) {
				for range 5 {
					steady(r, 140*unit.Millisecond, rest-40_000)
					steady(r, 140*unit.Millisecond, rest+30_000)
				}
			},
			func(r *rig) { steady(r, 2*unit.Second, rest) },
			event.OutputMove{FromNS: rest - 12_000, SwayNS: 70_000, LeastNS: rest, MostNS: rest + 30_000, EndMeanNS: rest, Pulses: 100},
		},
		"late is a mean": {
			func(r *rig) { steady(r, unit.Second, rest) },
			func(r *rig) {
				steady(r, unit.Second, up)
				steady(r, 500*unit.Millisecond, 1_510_000)
				steady(r, 500*unit.Millisecond, 1_530_000)
			},
			event.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, EndMeanNS: 1_520_000, Pulses: 100},
		},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "a tilt that stays"
			r.start("neutral")
			x.before(r)
			r.done()
			r.events = nil
			x.after(r)
			got := outputMove(t, r.done(), 2)
			x.want.Output = 2
			assert.InDelta(t, int64(x.want.EndMeanNS), int64(got.EndMeanNS), 2_500, "of a second, give or take a tenth")
			got.EndMeanNS = x.want.EndMeanNS
			assert.InDelta(t, x.want.Pulses, got.Pulses, 2)
			got.Pulses = x.want.Pulses
			got.TiltRestNS, got.TiltSwayNS, got.TiltLeastNS, got.TiltMostNS, got.TiltLeastAtNS, got.TiltMostAtNS, got.TiltAwayNS = 0, 0, 0, 0, 0, 0, 0 // see below
			assert.Equal(t, x.want, got)
		})
	}
}

// A hand is ahead of the count, or behind it. Where an output rested is known from before
// any hand began, and what it did from there on.
func TestAHandAheadOfTheCount(t *testing.T) {
	const rest = unit.Width(1_500_000)
	type leg struct {
		lasts unit.Duration // ms
		off   unit.Width    // µs
	}
	kick, stand := []leg{{300, 60}}, []leg{{3000, 60}}
	for name, x := range map[string]struct {
		still unit.Duration // ms before the legs begin
		after unit.Duration // the prompt comes this long after they began, ms; negative: before
		legs  []leg
		want  event.OutputMove // widths from rest, times to a tenth
	}{
		"a kick behind the count":      {3000, -500, kick, event.OutputMove{TiltMostNS: 60, TiltMostAtNS: 500, TiltAwayNS: 300}},
		"at the count":                 {3000, 0, kick, event.OutputMove{TiltMostNS: 60, TiltAwayNS: 300}},
		"half a second ahead":          {3000, 500, kick, event.OutputMove{TiltMostNS: 60, TiltMostAtNS: -500, TiltAwayNS: 300}},
		"what stays":                   {3000, 400, stand, event.OutputMove{TiltMostNS: 60, TiltMostAtNS: -400, TiltAwayNS: 3000}},
		"what stays to the other side": {3000, 400, []leg{{3000, -60}}, event.OutputMove{TiltLeastNS: -60, TiltLeastAtNS: -400, TiltAwayNS: 3000}},
		"there and back": {3000, 400, []leg{{200, 50}, {200, -60}},
			event.OutputMove{TiltLeastNS: -60, TiltMostNS: 50, TiltLeastAtNS: -200, TiltMostAtNS: -400, TiltAwayNS: 200}},
		"it stands at less than half": {3000, 0, []leg{{300, 60}, {2000, 29}}, event.OutputMove{TiltMostNS: 60, TiltAwayNS: 300}},
		"and at half":                 {3000, 0, []leg{{300, 60}, {2000, 30}}, event.OutputMove{TiltMostNS: 60, TiltAwayNS: 2300}},
		"too far ahead, and it shows": {3000, 2000, stand, event.OutputMove{TiltRestNS: 60, TiltSwayNS: 60, TiltMostNS: 60,
			TiltMostAtNS: -480, TiltAwayNS: 3000}},
		"so far that nothing can tell":     {3000, 2700, stand, event.OutputMove{TiltRestNS: 60, TiltMostNS: 60, TiltMostAtNS: -480, TiltAwayNS: 3000}},
		"a twitch within two seconds":      {3000, 2300, []leg{{100, 60}}, event.OutputMove{TiltSwayNS: 60}},
		"a twitch long before":             {3000, 2700, []leg{{100, 60}}, event.OutputMove{}},
		"silent where it should have been": {0, 400, stand, event.OutputMove{TiltRestNS: -1500, TiltMostNS: 60, TiltMostAtNS: -400}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "there and back"
			r.start("neutral")
			r.pulses(x.still*unit.Millisecond, lead{2, rest, 0})
			begun := r.now
			prompted := begun.Add(x.after * unit.Millisecond)
			legs := append([]leg{}, x.legs...)
			if x.after < 0 {
				legs = append([]leg{{-x.after, 0}}, legs...)
				prompted = begun
			}
			prompt := func() { r.done(); r.events = nil; prompted = unit.Never }
			for _, l := range append(legs, leg{3000, 0}) {
				end := r.now.Add(l.lasts * unit.Millisecond)
				if prompted <= end {
					r.pulses(prompted.Sub(r.now), lead{2, rest + l.off*1000, 0})
					prompt()
				}
				r.pulses(end.Sub(r.now), lead{2, rest + l.off*1000, 0})
			}
			got := outputMove(t, r.done(), 2)
			for _, w := range []struct{ want, got unit.Width }{{x.want.TiltRestNS, got.TiltRestNS}, {x.want.TiltLeastNS,
				got.TiltLeastNS}, {x.want.TiltMostNS, got.TiltMostNS}} {
				assert.Equal(t, w.want*1000, w.got-rest, "%+v", got)
			}
			assert.Equal(t, x.want.TiltSwayNS*1000, got.TiltSwayNS)
			const about = float64(100 * unit.Millisecond) // of a tenth
			if x.want.TiltLeastNS != 0 {
				assert.InDelta(t, float64(x.want.TiltLeastAtNS*unit.Millisecond), float64(got.TiltLeastAtNS), about, "%+v", got)
			}
			if x.want.TiltMostNS != 0 {
				assert.InDelta(t, float64(x.want.TiltMostAtNS*unit.Millisecond), float64(got.TiltMostAtNS), about, "%+v", got)
			}
			assert.InDelta(t, float64(x.want.TiltAwayNS*unit.Millisecond), float64(got.TiltAwayNS), about, "%+v", got)
		})
	}
}

// No pulse costs memory.
func TestAPulseIsFollowedWithoutAllocation(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	p := event.Pulse{Output: 3, Width: 1_500_000}
	o := event.Observation{Tap: board, Kind: event.PulseSeen, Pulse: &p}
	step := func() {
		o.At = o.At.Add(20 * unit.Millisecond)
		o.Wire = o.At
		r.runner.See(&o, &r.hearing, r.emit)
	}
	for range 100 {
		step()
	}
	assert.Zero(t, testing.AllocsPerRun(1000, step))
}

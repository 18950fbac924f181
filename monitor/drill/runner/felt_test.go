package runner_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill/runner"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const proppedSheet = `taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}, phone: {kind: tilt}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  measure: [degrees]
  modes:
    upright: {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: stays}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
`

// lying is a model as a phone feels it, nose and left wing raised by so many degrees: it has rested for two seconds.
func lying(r *rig, nose, left float64) *attitude.Lying {
	const g, half = 1e6, math.Pi / 180
	up := attitude.Vector{int64(-g * math.Sin(left*half)), int64(g * math.Sin(nose*half)), int64(g * math.Cos(nose*half) * math.Cos(left*half))}
	return &attitude.Lying{
		Rest: attitude.Rest{FromNS: r.now.Add(-2 * unit.Second), ToNS: r.now.Add(-200 * unit.Millisecond), Up: up, Tenths: 18},
		Top:  attitude.TopNose, Left: r.now.Add(-3 * unit.Second), Jitter: 60 * unit.Millisecond,
	}
}

// propped is a drill at its first prompt to prop the model up, the attitude for flying declared at so many degrees.
func propped(t *testing.T, nose float64) *rig {
	r := newRig(t, small(t, proppedSheet))
	r.blank = *runner.New(r.sheet, mainBus, leads, runner.Tap{Number: 3, Name: "phone"})
	r.runner = runner.New(r.sheet, mainBus, leads, runner.Tap{Number: 3, Name: "phone"})
	r.hearing.Lies = func(unit.Time) *attitude.Lying { return lying(r, nose, 0) }
	r.hearing.Mode = "upright"
	r.set("inner", 988)
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: "degrees", Do: event.StepBegin, Attended: true})
	r.step("degrees", event.StepConfirm)
	for range 100 {
		switch at, _ := r.runner.Standing(); at {
		case "degrees/upright/pitch/there/1":
			r.events = nil
			return r
		case "degrees/upright/pitch/level":
			r.leads(1_500_000)
		default:
			r.hear(2 * unit.Second)
			r.step("degrees", event.StepDone)
		}
	}
	require.Fail(t, "the prompt never came")
	return nil
}

// leads has the elevator's output stand at a width for a second.
func (r *rig) leads(w unit.Width) { r.pulses(unit.Second, lead{2, w, 0}) }

// rest is the latest one, nil for none.
func (r *rig) rest() *event.ModelRestedData {
	for i := len(r.events) - 1; i >= 0; i-- {
		if d, ok := r.events[i].Data.(event.ModelRestedData); ok {
			return &d
		}
	}
	return nil
}

// asks is what the builder was asked since the last time.
func (r *rig) asksFor() string {
	for i := len(r.events) - 1; i >= 0; i-- {
		if d, ok := r.events[i].Data.(event.DrillHintData); ok {
			return d.Why
		}
	}
	return ""
}

func TestWhatAPhoneFeelsOfAProppedModel(t *testing.T) {
	moving := func(l *attitude.Lying) { l.Rest = attitude.Rest{} }
	for name, x := range map[string]struct {
		nose, left float64
		change     func(l *attitude.Lying)
		words      string
		angle      int64  // millidegrees
		by         string // "" for no rest
		asks, why  string
	}{
		"tail raised":                {nose: -6, angle: 6000, by: "felt"},
		"and typed rightly":          {nose: -6, words: "6.2", angle: 6000, by: "felt"},
		"typed as far off as it may": {nose: -6, words: "7.4", angle: 6000, by: "felt"},
		"typed farther off":          {nose: -6, words: "7.6", angle: 7600, by: "typed", asks: "which is it? Type the angle again", why: "typed is tail up by 7.6°"},
		"a wedge that stands askew":  {nose: -6, left: 3, angle: 6707, by: "felt"},
		"a nose for a tail": {nose: 6, angle: -6000, by: "felt", asks: "which was it?",
			why: "tail raised was asked for, and the phone on the model felt nose raised by 6°"},
		"a wing for a tail":       {left: 6, angle: 0, by: "felt", asks: "which was it?", why: "left wing raised by 6°"},
		"about two axes":          {nose: -5, left: 5, angle: 4994, by: "felt", asks: "prop it up as told", why: "felt no such tilt"},
		"hardly tilted":           {nose: -2.9, angle: 2900, by: "felt", asks: "prop it up as told", why: "the phone lay still"},
		"tilted a little":         {nose: -3.1, angle: 3100, by: "felt"},
		"it does not rest":        {nose: -6, change: moving, asks: "did not feel it rest"},
		"it does not rest, typed": {nose: -6, change: moving, words: "6", angle: 6000, by: "typed", asks: "did not feel it rest", why: "did not feel it rest"},
		"turned too fast": {nose: -6, change: func(l *attitude.Lying) { l.Rest.Fastest = 501 },
			angle: 6000, by: "felt", asks: "prop it up", why: "no such tilt"},
		"turned as fast as it may be": {nose: -6, change: func(l *attitude.Lying) { l.Rest.Fastest = 500 }, angle: 6000, by: "felt"},
		"attitudes are lacking": {nose: -6, change: func(l *attitude.Lying) { l.Rest.HoleNS = 401 * unit.Millisecond },
			angle: 6000, by: "felt", asks: "prop it up", why: "no such tilt"},
	} {
		t.Run(name, func(t *testing.T) {
			r := propped(t, 0)
			r.leads(1_500_000)
			r.hearing.Lies = func(unit.Time) *attitude.Lying {
				l := lying(r, x.nose, x.left)
				if x.change != nil {
					x.change(l)
				}
				return l
			}
			r.input(event.DrillStep{Drill: "degrees", Do: event.StepDone, Words: x.words})
			if x.asks != "" {
				assert.Nil(t, r.rest(), "it is asked first")
				assert.Contains(t, r.asksFor(), x.asks)
				r.hear(unit.Second)
				r.input(event.DrillStep{Drill: "degrees", Do: event.StepDone, Words: x.words})
			} else {
				assert.Empty(t, r.asksFor())
			}
			d := r.rest()
			if x.by == "" {
				assert.Nil(t, d)
				return
			}
			require.NotNil(t, d)
			assert.Equal(t, x.by, string(d.By))
			assert.InDelta(t, x.angle, d.AngleMDeg, 20)
			assert.Contains(t, d.Why, x.why)
			assert.Equal(t, x.why == "", d.Why == "", d.Why)
			if x.by == "felt" {
				assert.Equal(t, int64(500), d.DoubtMDeg)
				assert.Equal(t, r.now.Add(-200*unit.Millisecond), d.ToNS, "the latest that the phone told of")
				assert.Equal(t, unit.Second, d.ToNS.Sub(d.FromNS))
			}
		})
	}
}

// Angles count from where the phone felt the attitude for flying, however that was.
func TestAnglesCountFromTheAttitudeForFlying(t *testing.T) {
	r := propped(t, 4)
	r.hearing.Lies = func(unit.Time) *attitude.Lying { return lying(r, -4, 0) }
	r.leads(1_500_000)
	r.step("degrees", event.StepDone)
	require.NotNil(t, r.rest())
	assert.InDelta(t, 8000, r.rest().AngleMDeg, 20)
}

// A model that is laid back elsewhere gives no figures; no more than three degrees are where it lay.
func TestALevelThatIsNotFoundAgain(t *testing.T) {
	for nose, why := range map[float64]string{-2.9: "", -3.1: "not back in the attitude for flying: the phone on it felt tail raised by 3°"} {
		r := propped(t, 0)
		for range 3 {
			r.leads(1_500_000)
			r.hearing.Lies = func(unit.Time) *attitude.Lying { return lying(r, -16, 0) }
			r.step("degrees", event.StepDone)
		}
		r.hearing.Lies = func(unit.Time) *attitude.Lying { return lying(r, nose, 0) }
		r.events = nil
		for r.rest() == nil {
			r.leads(1_500_000)
			r.hear(unit.Second)
		}
		assert.Equal(t, "degrees/upright/pitch/level-2", r.rest().Prompt)
		assert.Contains(t, r.rest().Why, why)
		assert.Equal(t, why == "", r.rest().Why == "")
	}
}

// Without a phone that may be believed the angle is typed; with an empty Enter that is said.
func TestNoPhoneThatMayBeBelieved(t *testing.T) {
	r := propped(t, 0)
	r.hearing.Lies = func(unit.Time) *attitude.Lying { return nil }
	r.leads(1_500_000)
	r.step("degrees", event.StepDone)
	assert.Contains(t, r.asksFor(), "no phone on the model feels the angle")
	assert.Nil(t, r.rest())
	r.input(event.DrillStep{Drill: "degrees", Do: event.StepDone, Words: "6"})
	require.NotNil(t, r.rest())
	assert.Equal(t, event.RestTyped, r.rest().By)
	assert.Zero(t, r.rest().FineNS)
}

// An output has begun to answer within the time from the end of the rest before, as the phone has it, and how
// fine that is known: its jitter and two tenths.
func TestWithinWhatTimeAnOutputAnswers(t *testing.T) {
	for name, x := range map[string]struct {
		began unit.Duration // of the tilt, before the output moves
		want  unit.Duration
	}{
		"soon":                 {300 * unit.Millisecond, 560 * unit.Millisecond},
		"before, by the dates": {-400 * unit.Millisecond, 1},
		"another time":         {2100 * unit.Millisecond, 0},
	} {
		t.Run(name, func(t *testing.T) {
			r := propped(t, 0)
			r.torn = true
			r.leads(1_500_000)
			moves := r.now
			for range 3 {
				r.leads(1_520_000)
			}
			r.hearing.Lies = func(unit.Time) *attitude.Lying {
				l := lying(r, -6, 0)
				l.Left = moves.Add(-x.began)
				return l
			}
			r.step("degrees", event.StepDone)
			require.NotNil(t, r.rest())
			assert.Equal(t, 260*unit.Millisecond, r.rest().FineNS)
			assert.InDelta(t, int64(x.want), int64(r.rest().Outputs[0].AnsweredNS), float64(50*unit.Millisecond))
			assert.Equal(t, x.want == 0, r.rest().Outputs[0].AnsweredNS == 0)
			assert.False(t, strings.Contains(r.asksFor(), "feel"))
		})
	}
}

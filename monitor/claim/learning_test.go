package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// limits is a court over a sheet with a learning procedure.
func limits(t *testing.T) *court {
	return open(t, string(sheettest.TwoSwitches())+`learning:
  steps: [{kind: gesture, gesture: limit-learning}, {kind: control, channel: elevator, to: [back, forward]}, {kind: menu, says: choose done}]
`)
}

func steps(doubt string) event.LimitsData {
	return event.LimitsData{Outputs: []event.OutputEnds{{Output: 2, LeastNS: 1_400_000, MostNS: 1_600_000}}, Steps: []event.LearnedStep{
		{Prompt: "limit-learning/1", Is: "press teach", Known: event.LearnedSeen, Doubt: doubt},
		{Prompt: "limit-learning/3", Is: "choose done", Known: event.LearnedSaid},
	}}
}

const limitsDrill = "drill:limit-learning"

func TestLimitsThatWereLearned(t *testing.T) {
	const id = "learning/done"
	ended := event.DrillEndedData{How: "abandoned"}
	c := limits(t)
	c.hear(event.LimitsLearned, limitsDrill, steps("aileron went the wrong way"))
	assert.Equal(t, claim.VerdictOpen, c.verdict(id))
	assert.Equal(t, "aileron went the wrong way: learn again", c.claim(id).Sentence)
	c.hear(event.LimitsLearned, limitsDrill, steps(""))
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	assert.Contains(t, c.claim(id).Sentence, "1 steps seen, 1 said by the builder (choose done); what the receiver learned is not on the wire")
	assert.Equal(t, map[string]int64{"seen": 1, "said": 1, "counted": 0}, c.claim(id).Figures)

	// Broken off before it began, nothing was learned; after that, nobody knows what.
	c.hear(event.DrillEnded, limitsDrill, ended)
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.did("limit-learning/rest", nil)
	c.hear(event.DrillEnded, limitsDrill, ended)
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.did("limit-learning/1", nil)
	c.hear(event.DrillEnded, "drill:order", ended)
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.hear(event.DrillEnded, limitsDrill, ended)
	assert.Equal(t, claim.VerdictOpen, c.verdict(id))
	assert.Contains(t, c.claim(id).Sentence, "the limits are unknown until they are learned again")

	c.hear(event.LimitsLearned, limitsDrill, steps(""))
	c.hear(event.DrillEnded, limitsDrill, event.DrillEndedData{How: "finished"})
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.hear(event.LimitsLearned, limitsDrill, steps("the gesture was not seen"))
	assert.Equal(t, claim.VerdictOpen, c.verdict(id), "learned anew, and not as it is to be")
}

// The gesture begins it, answered or not, in its drill or elsewhere.
func TestTheGestureThatBeginsLearning(t *testing.T) {
	const id = "learning/done"
	made := event.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3, Signal: event.SignalLive, InDrill: true}
	for name, x := range map[string]struct {
		change func(d *event.GestureData)
		want   claim.Verdict
		says   string
	}{
		"in its drill, which is broken off": {func(*event.GestureData) {}, claim.VerdictOpen, "begun and broken off"},
		"elsewhere":                         {func(d *event.GestureData) { d.InDrill = false }, claim.VerdictOpen, "set off outside its drill"},
		"by a receiver":                     {func(d *event.GestureData) { d.InDrill, d.Suspect = false, true }, claim.VerdictRight, "limits were learned"},
		"another gesture":                   {func(d *event.GestureData) { d.Gesture = "lights" }, claim.VerdictRight, "limits were learned"},
	} {
		t.Run(name, func(t *testing.T) {
			c := limits(t)
			c.hear(event.LimitsLearned, limitsDrill, steps(""))
			d := made
			x.change(&d)
			c.hear(event.GestureMade, "switch:teach", d)
			c.hear(event.DrillEnded, limitsDrill, event.DrillEndedData{How: "abandoned"})
			assert.Equal(t, x.want, c.verdict(id))
			assert.Contains(t, c.claim(id).Sentence, x.says)
		})
	}
}

func TestWhatWasLearnedTook(t *testing.T) {
	const id = "learning/took"
	for name, x := range map[string]struct {
		first unit.Duration // from the prompt to the first pulse, ms
		mode  string
		went  map[int]went
		want  claim.Verdict
		says  string
	}{
		"the tilt is answered": {500, "upright", map[int]went{2: stays(80)}, claim.VerdictRight, "answered a tilt by up to 80"},
		"just enough": {300, "upright", map[int]went{2: stays(30)}, claim.VerdictRight,
			"; output 2 (elevator) goes from 1000 µs to 2000 µs, before it was learned from 1400 µs to 1600 µs"},
		"hardly": {500, "upright", map[int]went{2: stays(29)}, claim.VerdictOpen,
			"it waits for the throttle to be advanced once, limit learning not completed, or nobody tilted"},
		"in a mode that is off":    {500, "plain", map[int]went{2: stays(80)}, claim.VerdictOpen, "the bus asked for PLAIN, in which nothing need answer"},
		"it was never switched of": {299, "upright", map[int]went{2: stays(80)}, claim.VerdictOpen, "so the receiver was not switched off"},
	} {
		t.Run(name, func(t *testing.T) {
			c := limits(t)
			c.hear(event.LimitsLearned, limitsDrill, steps(""))
			c.hear(event.DrillBegan, "drill:learned", event.DrillBeganData{})
			on := c.tilt("learned/on", "count", "upright", nil)
			for i := range on.Outputs {
				on.Outputs[i].FirstNS = x.first * unit.Millisecond
			}
			c.hear(event.DrillAnswered, "drill:learned", on)
			for _, end := range []struct {
				prompt string
				width  unit.Width
			}{{"back", 2_000_000}, {"forward", 1_000_000}} {
				d := c.tilt("learned/ends/elevator/"+end.prompt, "wire", "upright", nil)
				for i := range d.Outputs {
					if d.Outputs[i].Output == 2 {
						d.Outputs[i].EndMeanNS = end.width
					}
				}
				c.hear(event.DrillAnswered, "drill:learned", d)
			}
			c.hear(event.DrillAnswered, "drill:learned", c.tilt("learned/there", "builder", x.mode, x.went))
			assert.Equal(t, x.want, c.verdict(id), c.claim(id).Sentence)
			assert.Contains(t, c.claim(id).Sentence, x.says)

			c.hear(event.LimitsLearned, limitsDrill, steps(""))
			assert.Equal(t, claim.VerdictOpen, c.verdict(id), "learned anew, it is to be shown anew")
		})
	}
	c := limits(t)
	c.hear(event.DrillAnswered, "drill:learned", c.tilt("learned/on", "count", "upright", nil))
	c.hear(event.DrillAnswered, "drill:learned", c.tilt("learned/there", "builder", "upright", map[int]went{2: stays(80)}))
	assert.Contains(t, c.claim(id).Sentence, "that limits were learned was not seen right: drill limit-learning first")
	assert.Equal(t, drill.Learned, limits(t).claim(id).Settle.Drill)
}

// A model without a throttle waits for none.
func TestWhatAGliderLearnedWaitsForNoThrottle(t *testing.T) {
	c := open(t, `sheet: 1
model: M
taps: {main: {kind: bus}, leads: {kind: pulses}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  15: {name: teach, kind: momentary, rest: 988, pressed: 2012}
stabiliser:
  windows: {from: guess}
  modes: {upright: {when: [{teach: [0, 3000]}], wanted_at: [{teach: rest}], does: stays}}
gestures: {limit-learning: {channel: teach, from: rest, to: pressed, times: 3, within: 3s, allowed: in-drill}}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
learning:
  steps: [{kind: gesture, gesture: limit-learning}, {kind: control, channel: elevator, to: [back, forward]}, {kind: menu, says: choose done}]
`)
	on := c.tilt("learned/on", "count", "upright", nil)
	for i := range on.Outputs {
		on.Outputs[i].FirstNS = unit.Second
	}
	c.hear(event.DrillAnswered, "drill:learned", on)
	c.hear(event.DrillAnswered, "drill:learned", c.tilt("learned/there", "builder", "upright", map[int]went{2: stays(5)}))
	assert.Contains(t, c.claim("learning/took").Sentence, "gain at zero, the stabiliser off in this mode, limit learning not completed, or nobody tilted")
}

package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const travelled = `sheet: 1
model: m
taps: {main: {kind: bus}, leads: {kind: pulses}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  7: {name: aid, kind: switch, positions: {first: 1040, second: 1330, third: 1640}}
stabiliser:
  windows: {from: guess}
  neutral_shift_at_most: 20 us
  modes:
    plain: {when: [{aid: [0, 1180]}], wanted_at: [{aid: first}], does: nothing}
    damping: {when: [{aid: [1180, 1480]}], wanted_at: [{aid: second}], does: returns}
    upright: {when: [{aid: [1480, 1780]}], wanted_at: [{aid: third}], does: stays}
outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}, travel: {from: 1080, to: 1920}}
`

func reachedAt(short unit.Width, upper bool, mode string) event.OutputReachedData {
	d := event.OutputReachedData{WidthNS: 1_920_000 - short, WantedNS: 1_920_000, ShortNS: short, Upper: upper, Mode: mode}
	if !upper {
		d.WidthNS, d.WantedNS = 1_080_000+short, 1_080_000
	}
	return d
}

func TestTravelOfAnOutput(t *testing.T) {
	beyond := event.OutputBeyondData{WidthNS: 1_960_000, WantedNS: 1_920_000, Upper: true, Held: true, Past: []int{}, Mode: "plain"}
	moving, levelling, past := beyond, beyond, beyond
	moving.Held = false
	levelling.Mode = "upright"
	past.Past = []int{1}
	for name, x := range map[string]struct {
		seen []any
		want claim.Verdict
		says string
	}{
		"both ends at the tolerance": {[]any{reachedAt(12_000, true, "plain"), reachedAt(-12_000, false, "damping")}, claim.VerdictRight,
			"to 1080 µs and to 1920 µs"},
		"one end":       {[]any{reachedAt(0, true, "plain")}, claim.VerdictOpen, "at its other ends, too"},
		"one end twice": {[]any{reachedAt(0, true, "plain"), reachedAt(0, true, "plain")}, claim.VerdictOpen, "at its other ends, too"},
		"short":         {[]any{reachedAt(12_001, true, "plain")}, claim.VerdictWrong, "which of the two can't be told"},
		"short where it is cut off": {[]any{event.OutputClipData{Upper: true}, reachedAt(40_000, true, "plain")}, claim.VerdictWrong,
			"the receiver cuts it off there"},
		"cut off elsewhere":              {[]any{event.OutputClipData{}, reachedAt(40_000, true, "plain")}, claim.VerdictWrong, "can't be told"},
		"short while it levels":          {[]any{reachedAt(40_000, true, "upright")}, claim.VerdictOpen, "no farther"},
		"as wanted while it levels":      {[]any{reachedAt(0, true, "upright"), reachedAt(0, false, "upright")}, claim.VerdictOpen, "no farther"},
		"beyond at an end proves no end": {[]any{reachedAt(-12_001, true, "plain"), reachedAt(0, false, "plain")}, claim.VerdictOpen, "other ends"},
		"beyond": {[]any{beyond}, claim.VerdictWrong,
			"40 µs beyond the 1920 µs that is wanted, where a surface binds or a servo stalls: make its travel smaller in the receiver"},
		"beyond by a channel":           {[]any{past}, claim.VerdictWrong, "aileron goes past its own end: make that end of its travel smaller in the transmitter"},
		"beyond on the way":             {[]any{moving}, claim.VerdictOpen, "while something moved"},
		"beyond while it levels":        {[]any{levelling}, claim.VerdictOpen, "in a mode in which sticks do not move it themselves"},
		"right, then beyond on the way": {[]any{reachedAt(0, true, "plain"), reachedAt(0, false, "plain"), moving}, claim.VerdictOpen, "while something moved"},
		"then one end is too little": {[]any{reachedAt(0, true, "plain"), reachedAt(0, false, "plain"), moving, reachedAt(0, false, "plain")},
			claim.VerdictOpen, "other ends"},
		"reopened": {[]any{reachedAt(0, true, "plain"), event.ReopenData{What: claim.TopicOutputs}, reachedAt(0, false, "plain")},
			claim.VerdictOpen, "other ends"},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, travelled)
			for _, d := range x.seen {
				switch d := d.(type) {
				case event.OutputReachedData:
					c.hear(event.OutputReached, "output:1", d)
				case event.OutputBeyondData:
					c.hear(event.OutputBeyond, "output:1", d)
				case event.OutputClipData:
					c.hear(event.OutputClipped, "output:1", d)
				case event.ReopenData:
					c.hear(event.Reopened, "session", d)
				}
			}
			k := c.claim("ends/output:1")
			assert.Equal(t, x.want, k.Verdict, k.Sentence)
			assert.Contains(t, k.Sentence, x.says)
		})
	}
}

func TestShiftOfAnOutput(t *testing.T) {
	jump := func(was, now string, by, asked unit.Width) event.OutputShiftedData {
		return event.OutputShiftedData{WasNS: 1_500_000, WidthNS: 1_500_000 + by, AskedNS: asked, WasMode: was, Mode: now, Switches: []int{7}}
	}
	for name, x := range map[string]struct {
		seen []event.OutputShiftedData
		want claim.Verdict
		says string
	}{
		"all modes at the limit": {[]event.OutputShiftedData{jump("plain", "damping", 20_000, 0), jump("damping", "upright", -20_000, 0)}, claim.VerdictRight,
			"jumped by 20 µs at most"},
		"one is lacking":      {[]event.OutputShiftedData{jump("plain", "damping", 20_000, 0)}, claim.VerdictOpen, "still to be rested in, sticks let go: UPRIGHT"},
		"too far":             {[]event.OutputShiftedData{jump("plain", "damping", -20_001, 0)}, claim.VerdictWrong, "its channels stand"},
		"half of it is asked": {[]event.OutputShiftedData{jump("plain", "damping", 30_000, 15_000)}, claim.VerdictWrong, "its channels ask for 15 µs of that"},
		"less than half is":   {[]event.OutputShiftedData{jump("plain", "damping", 30_000, 14_999)}, claim.VerdictWrong, "its channels stand"},
		"into levelling":      {[]event.OutputShiftedData{jump("plain", "upright", 30_000, 0)}, claim.VerdictOpen, "level it, then look again"},
		"out of levelling":    {[]event.OutputShiftedData{jump("upright", "plain", 30_000, 0)}, claim.VerdictOpen, "level it, then look again"},
		"another switch":      {[]event.OutputShiftedData{jump("plain", "plain", 90_000, 0)}, claim.VerdictOpen, "rests within 20 µs"},
		"from no mode":        {[]event.OutputShiftedData{jump("", "plain", 90_000, 0)}, claim.VerdictOpen, "rests within 20 µs"},
		"to no mode":          {[]event.OutputShiftedData{jump("plain", "", 90_000, 0)}, claim.VerdictOpen, "rests within 20 µs"},
		"right, then it levels": {[]event.OutputShiftedData{jump("plain", "damping", 0, 0), jump("damping", "upright", 0, 0), jump("damping", "upright", 30_000, 0)},
			claim.VerdictOpen, "level it"},
		"and all anew": {[]event.OutputShiftedData{jump("plain", "damping", 0, 0), jump("damping", "upright", 0, 0), jump("damping", "upright", 30_000, 0),
			jump("damping", "plain", 0, 0)}, claim.VerdictOpen, "UPRIGHT"},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, travelled)
			for _, d := range x.seen {
				c.hear(event.OutputShifted, "output:1", d)
			}
			k := c.claim("shift/output:1")
			assert.Equal(t, x.want, k.Verdict, k.Sentence)
			assert.Contains(t, k.Sentence, x.says)
		})
	}
}

// A jump is another thing once the outputs were reopened; one without a limit is no claim.
func TestShiftIsReopened(t *testing.T) {
	c := open(t, travelled)
	c.hear(event.OutputShifted, "output:1", event.OutputShiftedData{WasMode: "plain", Mode: "damping"})
	c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicOutputs})
	c.hear(event.OutputShifted, "output:1", event.OutputShiftedData{WasMode: "damping", Mode: "upright"})
	assert.Contains(t, c.claim("shift/output:1").Sentence, "still to be rested in, sticks let go: PLAIN")
}

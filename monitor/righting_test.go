package monitor_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/simtest"
)

// rescued is the starter's sheet with a switch that rights the model, and with levelling.
func rescued(t testing.TB) []byte {
	text := strings.Replace(string(sheet.Starter()), "# righting:", "righting:", 1)
	text = strings.Replace(text, "channels:\n", "channels:\n  11: {name: rescue, kind: momentary, rest: 1040, pressed: 1930}\n", 1)
	text = strings.Replace(text, "    teach: rest", "    rescue: rest\n    teach: rest", 1)
	require.Contains(t, text, "rescue: rest")
	return []byte(text + levelling + learning)
}

// levelling is how the receiver of that model learns level.
const levelling = "levelling: {starts: hold the button, sides: [level on a table, nose up], rests: 3s, still_after_power_up: 4s}\n"

// learning is how it learns limits.
const learning = `learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [left aileron, elevator], lasts: 5s}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: control, channel: elevator, to: [back, forward]}
    - {kind: control, channel: rudder, to: [left, right]}
    - {kind: button, says: press the button once more}
`

// rescueBench has that switch, which makes the stabiliser level whatever the mode.
const rescueBench = simtest.Reedwing + `channel 11 rescue 1040
place rescue rest 1040
place rescue pressed 1930
gyro level when rescue 1480 3000
`

const rescuePreset = "preset main rescue rest\nlearns by teach narrow 600\n"

// What is wrong with a switch that rights the model is seen wrong in its own claim and no other.
func TestFaultsOfRighting(t *testing.T) {
	right := rescueBench + reedwing + rescuePreset + airframes[0].mixes
	for name, x := range map[string]struct {
		bench string
		drill []string
		own   string
		says  string
	}{
		"none": {right, nil, "", ""},
		"it does nothing": {strings.Replace(right, "gyro level when rescue 1480 3000\n", "", 1), nil, "righting/over/*",
			"the receiver does not take it for its switch"},
		"another position": {strings.Replace(right, "rescue 1480 3000", "rescue 0 500", 1), nil, "righting/over/*",
			"look at which channel and position it listens to"},
		"its preset": {strings.Replace(right, "main rescue rest", "main rescue pressed", 1), []string{drill.Failsafe},
			"righting/failsafe", "set its failsafe preset to rest"},
		"nothing before": {right, []string{drill.Righting}, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := aboveSheet(t, rescued(t), x.bench)
			o := obedient{b, operator.Operator{Sheet: b.sheet, Rand: b.rng, ConfirmsTilts: true, Bus: "main",
				Home: []string{"aid second", "stick strength 1485 over 500ms"}}}
			drills := x.drill
			if drills == nil {
				drills = []string{drill.Response, drill.Correction, drill.Righting}
			}
			seen := false
			for _, c := range o.sits(drills...) {
				switch {
				case owned([]string{x.own, "failsafe/rescue"}, c.ID) && c.Verdict == claim.VerdictWrong:
					seen = seen || owned([]string{x.own}, c.ID)
					if c.Family == claim.FamilyRighting {
						assert.Contains(t, c.Sentence, x.says)
					}
				default:
					assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", c.ID, c.Sentence)
				}
				if strings.HasPrefix(c.ID, "righting/over/") && x.own == "" {
					assert.Equal(t, len(x.drill) == 0, c.Verdict == claim.VerdictRight, "%s: %s", c.ID, c.Sentence)
				}
			}
			assert.Equal(t, x.own != "", seen)
		})
	}
}

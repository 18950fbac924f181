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

// schooled is the starter's sheet with an invented procedure: the button held twice with the throttle at cut, sticks to
// their ends, and the button once more.
func schooled(t testing.TB) []byte {
	text := string(sheet.Starter())
	for _, x := range [][2]string{
		{"    allowed: in-drill ", "    holds: 1s\n    while: {throttle: cut}\n    allowed: in-drill "},
		{"\n# What happens when the signal is gone",
			"  once-more: {channel: teach, from: rest, to: pressed, times: 1, within: 2s, allowed: always}\n\n# What happens when the signal is gone"},
	} {
		require.Contains(t, text, x[0])
		text = strings.Replace(text, x[0], x[1], 1)
	}
	return []byte(text + `learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [left aileron, elevator], lasts: 4s}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: control, channel: elevator, to: [back, forward]}
    - {kind: control, channel: rudder, to: [left, right]}
    - {kind: gesture, gesture: once-more}
`)
}

// A model that was never taught learns, and it took; and what goes wrong of it is seen.
func TestLimitLearningOnTheBench(t *testing.T) {
	right := simtest.Reedwing + reedwing + airframes[0].mixes
	for name, x := range map[string]struct {
		learns     string
		done, took claim.Verdict
		says       string
	}{
		"it learns":                {"learns by teach holds 1s sweep 3s\n", claim.VerdictRight, claim.VerdictRight, "before it was learned from 1350"},
		"its servos stand still":   {"", claim.VerdictOpen, claim.VerdictOpen, "did not move by itself: learn again"},
		"it takes no such gesture": {"learns by teach holds 4s\n", claim.VerdictOpen, claim.VerdictOpen, "did not move by itself: learn again"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := aboveSheet(t, schooled(t), right+x.learns)
			o := obedient{b, operator.Operator{Sheet: b.sheet, Rand: b.rng, ConfirmsTilts: true, Bus: "main",
				Home: []string{"aid second", "stick strength 1485 over 500ms"}}}
			found := map[string]*claim.Claim{}
			for _, c := range o.sits(drill.LimitLearning, drill.Learned) {
				found[c.ID] = c
				assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", c.ID, c.Sentence)
			}
			done, took := found["learning/done"], found["learning/took"]
			assert.Equal(t, x.done, done.Verdict, done.Sentence)
			assert.Equal(t, x.took, took.Verdict, took.Sentence)
			assert.Contains(t, done.Sentence+took.Sentence, x.says)
		})
	}
}

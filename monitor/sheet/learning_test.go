package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const learned = `learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [left aileron, 2], lasts: 5s}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: menu, says: choose done}
`

func learnedSheet(t *testing.T, changes ...string) (*sheet.Sheet, error) {
	t.Helper()
	starter, own := string(sheet.Starter()), learned
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, starter+own, changes[i])
		if strings.Contains(own, changes[i]) {
			own = strings.Replace(own, changes[i], changes[i+1], 1)
		} else {
			starter = strings.Replace(starter, changes[i], changes[i+1], 1)
		}
	}
	return sheet.Read("starter", []byte(starter+own))
}

func TestLearningOfASheet(t *testing.T) {
	s, err := learnedSheet(t, "    allowed: in-drill  ", "    holds: 2s\n    while: {throttle: cut}\n    allowed: in-drill ")
	require.NoError(t, err)
	assert.Equal(t, &sheet.Learning{
		Before: []string{"full rates", "no expo and no mix", "trims centred", "the model on a stand as it lies in flight"},
		Steps: []sheet.LearnStep{
			{Kind: sheet.LearnGesture, Gesture: "limit-learning"},
			{Kind: sheet.LearnServos, Outputs: []int{1, 2}, Lasts: 5 * unit.Second},
			{Kind: sheet.LearnControl, Channel: 2, To: []sheet.Setting{
				{Channel: 2, Position: "left", Width: 1_000_000}, {Channel: 2, Position: "right", Width: 2_000_000}}},
			{Kind: sheet.LearnMenu, Says: "choose done"},
		},
	}, s.Learning)
	assert.Equal(t, []string{"limit-learning"}, s.Learning.LearnGestures())
	assert.Equal(t, 2*unit.Second, s.Gestures[0].Holds)
	assert.Equal(t, []sheet.Setting{{Channel: 3, Position: "cut", Width: 1_000_000}}, s.Gestures[0].While)
}

// What begins it must not be able to happen in flight; what ends it may.
func TestLearningThatMayBeginAnyTime(t *testing.T) {
	text := strings.Replace(string(sheet.Starter()), "allowed: in-drill ", "allowed: always ", 1) + learned
	_, doubts, err := sheet.ReadNew("starter", []byte(text))
	require.NoError(t, err)
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Text, "limit learning begins by limit-learning, which is always allowed")
	ends := strings.Replace(text, "{kind: gesture, gesture: limit-learning}", "{kind: button, says: press it}", 2)
	ends = strings.Replace(ends, "{kind: menu, says: choose done}", "{kind: gesture, gesture: limit-learning}", 1)
	_, doubts, err = sheet.ReadNew("starter", []byte(ends))
	require.NoError(t, err)
	assert.Empty(t, doubts)
}

func TestLearningThatIsRefused(t *testing.T) {
	for _, x := range []struct{ name, was, is, says string }{
		{"begins with a stick", "    - {kind: gesture, gesture: limit-learning}\n    - {kind: servos, outputs: [left aileron, 2], lasts: 5s}\n", "",
			"found a procedure that begins with a step of kind control; a gesture, a button or a menu first would be right"},
		{"ends with a stick", "    - {kind: menu, says: choose done}\n", "", "a procedure that ends with a step of kind control"},
		{"ends with servos", "    - {kind: menu, says: choose done}\n", "    - {kind: servos, outputs: [2], lasts: 5s}\n", "ends with a step of kind servos"},
		{"no gesture of the sheet", "gesture: limit-learning}", "gesture: limit-lerning}",
			"found \"limit-lerning\", which is no gesture of this sheet; limit-learning would be right"},
		{"a gesture that is never allowed", "allowed: in-drill ", "allowed: never ", "found limit-learning, which is never allowed"},
		{"no output", "[left aileron, 2]", "[left aleron]", "which is no output of this sheet"},
		{"no position", "to: [left, right]", "to: [left, rihgt]", "which is not a position of aileron"},
		{"no channel", "channel: aileron, to", "channel: ailron, to", "which is not a channel of this sheet"},
		{"a key of another kind", "{kind: menu, says: choose done}", "{kind: wait, lasts: 3s, says: done}", "which a step of kind wait does not have"},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := learnedSheet(t, x.was, x.is)
			require.Error(t, err)
			assert.Contains(t, err.Error(), x.says)
		})
	}
}

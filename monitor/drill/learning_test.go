package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// taught is the starter with a procedure of the sheet, and more in place of a line.
func taught(t *testing.T, changes ...string) *sheet.Sheet {
	t.Helper()
	text := string(sheet.Starter()) + `learning:
  before: [full rates, trims centred]
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [left aileron, elevator], lasts: 5s}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: control, channel: aid, to: [second]}
    - {kind: menu, says: choose done}
    - {kind: wait, lasts: 3s}
`
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	s, err := sheet.Read("starter", []byte(text))
	require.NoError(t, err)
	return s
}

// The steps are the sheet's, in its order and its words.
func TestPromptsOfALearningProcedure(t *testing.T) {
	s := taught(t, "    allowed: in-drill ", "    holds: 2s\n    while: {throttle: cut}\n    allowed: in-drill ")
	assert.Equal(t, []string{
		"limit-learning/ready: see that this holds before the receiver learns, or what it stores is short: full rates, trims centred; " +
			"press Enter once all of it does",
		"limit-learning/before/aileron/left: so that it is known how far outputs go before the receiver learns: " +
			"move the right stick slowly and fully to the left (aileron) and hold it there until the next prompt",
		"limit-learning/before/aileron/right: so that it is known how far outputs go before the receiver learns: " +
			"move the right stick slowly and fully to the right (aileron) and hold it there until the next prompt",
		"limit-learning/rest: let go of all sticks, throttle down and at cut: nothing moves until it begins",
		"limit-learning/1: press teach and let it go 2 times within 5.0 s, " +
			"held for 2.00 s at least each time, with throttle at cut; hands clear: servos may move by themselves",
		"limit-learning/2: hands off: the receiver moves its servos by itself (left aileron and elevator); touch nothing until the next prompt",
		"limit-learning/3/left: move the right stick slowly and fully to the left (aileron) and hold it there until the next prompt",
		"limit-learning/3/right: move the right stick slowly and fully to the right (aileron) and hold it there until the next prompt",
		"limit-learning/4/second: put aid to second",
		"limit-learning/5: choose done; no wire shows it, so press Enter once it is done; hands clear: servos may move by themselves",
		"limit-learning/6: touch nothing until the next prompt: the receiver goes on by itself",
		"limit-learning/over: let go of everything until the drill ends: the receiver stores what it learned",
	}, prompts(t, s, drill.LimitLearning))
	p, _ := drill.Find(drill.Plans(s), drill.LimitLearning)
	assert.Equal(t, drill.Condition{Gesture: "limit-learning"}, p.Prompt("limit-learning/1").Until)
	assert.Equal(t, drill.ByWire, p.Prompt("limit-learning/1").Answers())
	assert.Equal(t, drill.Ask{Act: drill.ActStart}, p.Prompt("limit-learning/1").Asks)
	assert.Equal(t, drill.Condition{After: 5 * unit.Second, Hold: true}, p.Prompt("limit-learning/2").Until)
	assert.Equal(t, drill.Ask{Act: drill.ActTeach, Channel: 2, Place: "right", At: 2}, p.Prompt("limit-learning/3/right").Asks)
	assert.Equal(t, 12*unit.Width(1000), p.Prompt("limit-learning/4/second").Until.Targets[0].Within, "a switch has positions")
	assert.Equal(t, drill.Ask{Act: drill.ActLearn, At: 4}, p.Prompt("limit-learning/5").Asks)
	assert.Equal(t, drill.ByBuilder, p.Prompt("limit-learning/5").Answers())
	assert.Equal(t, drill.ActWaits, p.Prompt("limit-learning/6").Asks.Act)
	assert.Equal(t, []drill.Target{{Channel: 1, Width: 1_500_000, Within: 60_000}, {Channel: 2, Width: 1_500_000, Within: 60_000},
		{Channel: 3, Width: 1_000_000, Within: 120_000}, {Channel: 4, Width: 1_500_000, Within: 60_000}}, p.Prompt("limit-learning/rest").Until.Targets)
	assert.True(t, p.MovesOutputs(), "what outputs do in it is not what sticks have them do")
	assert.False(t, p.Again(), "what the receiver learned can't be taken back")
	assert.Equal(t, []string{"limit-learning"}, p.Gestures)
	assert.Contains(t, p.Then, "papers set SHEET learned")
}

func TestCautionsOfALearningProcedure(t *testing.T) {
	s := taught(t, "channels:\n", "channels:\n  9: {name: gear, kind: switch, positions: {up: 1000, down: 2000}}\n",
		"\noutputs:\n", "\noutputs:\n  5: {surface: main wheels, moved_by: {gear: 1.0}}\n")
	p, _ := drill.Find(drill.Plans(s), drill.LimitLearning)
	all := strings.Join(p.Cautions, "\n")
	assert.Contains(t, all, "does not stand on any of them: gear, main wheels (output 5); retracts stay locked down")
	assert.NotContains(t, all, "teach")
	assert.Contains(t, all, "the limits are unknown until they are learned again")
	assert.Contains(t, all, "driven against a stop")

	p, _ = drill.Find(drill.Plans(taught(t)), drill.LimitLearning)
	assert.NotContains(t, strings.Join(p.Cautions, "\n"), "retracts", "this model has nothing of the sort")
}

func TestPromptsOfWhatWasLearned(t *testing.T) {
	s := taught(t)
	got := prompts(t, s, drill.Learned)
	require.Len(t, got, 9)
	assert.Contains(t, got[0], "learned/off: throttle at cut")
	assert.Contains(t, got[2], "learned/ends/aileron/left: so that it is known how far outputs go now")
	assert.Contains(t, got[4], "learned/rest: ")
	assert.Contains(t, got[5], "learned/set: put aid to third")
	assert.Contains(t, got[7], "learned/there: now: briskly raise the tail")
	p, _ := drill.Find(drill.Plans(s), drill.Learned)
	assert.True(t, p.Unpowers && p.Tilts && p.Rests && p.Leads)
	assert.NotContains(t, names(starter(t)), drill.Learned, "the sheet has no procedure")
	s.Taps = s.Taps[:1]
	assert.NotContains(t, names(s), drill.Learned, "no lead shows it")
	assert.NotContains(t, strings.Join(prompts(t, s, drill.LimitLearning), "\n"), "/before/", "no lead shows how far outputs go")
}

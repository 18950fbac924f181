package view_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

const anHour = 60 * unit.Minute

func TestLongRunBegins(t *testing.T) {
	lines := view.LongRunBegins(&sheet.Sheet{Soak: &sheet.Soak{Distance: "3 m\x1b", Outputs: "unloaded"}}, "12h quiet")
	assert.True(t, strings.HasPrefix(lines[0], "a long run, its goal: 12h quiet; declared: distance: 3 m"), lines[0])
	assert.NotContains(t, lines[0], "\x1b")
	assert.Contains(t, lines[1], "not declared")
	assert.Contains(t, lines[1], "mode, receiver's supply")
	assert.NotContains(t, lines[1], "distance")
	assert.Equal(t, account.Cautions, lines[2:])
	none := view.LongRunBegins(&sheet.Sheet{}, "")
	assert.Equal(t, "a long run", none[0])
	assert.Contains(t, none[1], "distance, mode, outputs")
}

func TestLongRunEnds(t *testing.T) {
	assert.Empty(t, view.LongRunEnds(&state.State{}))
	a := &state.Account{Taps: []state.TapAccount{{Name: "main", LiveNS: 3 * anHour, GoneSinceNS: -1, Outages: 1, NextHours: 5, NextNS: 20 * anHour}},
		Goal: &state.SoakGoal{QuietNS: 12 * anHour, SoFarNS: 2 * anHour, ReachedNS: -1}}
	assert.Equal(t, []string{
		"main: the long run counts 3 h of a live link, outages: 1", "Nothing is proven yet.",
		"main: 20 h more of a live link without an outage would prove no more often than once in 5 h",
		"the goal, 12 h without an outage, is not reached: it is at 2 h",
	}, view.LongRunEnds(&state.State{Account: a}))
	a.Goal.ReachedNS, a.Proven = 5, []string{"The goal that was declared before was reached."}
	assert.Equal(t, a.Proven, view.LongRunEnds(&state.State{Account: a})[1:2])
	a.Taps[0].GoneSinceNS = 3
	assert.Equal(t, "main: the signal must come back first", view.LongRunEnds(&state.State{Account: a})[2])
	a.Goal.ReachedNS, a.Goal.Failed = -1, 2
	assert.Equal(t, "the goal, 12 h without an outage, is not reached: it is at 2 h, and began anew twice since an outage ended it",
		view.LongRunEnds(&state.State{Account: a})[3])
}

// In 80 columns a long run shows its progress, and trouble all the same.
func TestStatusLineOfALongRun(t *testing.T) {
	s := state.State{Recorder: state.Recorder{Recording: true}, NowNS: unit.Time(4 * anHour), SeenNS: unit.Time(4 * anHour),
		Taps: []state.Tap{{Name: "main", Kind: "bus", Up: true}},
		Account: &state.Account{Taps: []state.TapAccount{{Name: "main", LiveNS: 3 * anHour, GoneSinceNS: -1, OneInHours: 1, NextHours: 2, NextNS: 4 * anHour}},
			Goal: &state.SoakGoal{QuietNS: 12 * anHour, SoFarNS: 3 * anHour, ReachedNS: -1}}}
	sh := &sheet.Sheet{Gain: &sheet.Gain{Channel: 5}}
	assert.Equal(t, "main SILENT | soak 3 h | goal in 9 h | at most 1 in 1 h | 4 h more for 1 in 2 h", view.StatusLine(&s, sh, 81, false))
	s.Account.Goal.ReachedNS, s.Recorder.Recording = 1, false
	assert.Equal(t, "main SILENT | NOT RECORDING | soak 3 h | goal REACHED | at most 1 in 1 h", view.StatusLine(&s, sh, 80, false))
	s.Account.Taps[0].GoneSinceNS = 1
	assert.Equal(t, "main SILENT | NOT RECORDING | soak 3 h | SIGNAL GONE | 4:00:00 | gain --", view.StatusLine(&s, sh, 80, false))
}

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
	assert.Contains(t, lines[2], "Outputs rest")
	assert.Contains(t, lines[2], `benchproof mark "phone at the model"`)
	assert.Equal(t, account.Cautions, lines[3:])
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
		"main: 20 h more of a live link without an outage would prove: occasions no more often than once in 5 h",
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

// leadsAlone is the account of a long run in which nothing but servo leads was listened to.
func leadsAlone(change func(*state.TapAccount)) *state.Account {
	t := state.TapAccount{Name: "leads", Leads: &state.LeadsFigures{Outputs: []int{1, 2, 4}}, LiveNS: 3 * anHour, GoneSinceNS: -1, Worst: -1,
		NextHours: 1, NextNS: anHour}
	change(&t)
	return &state.Account{UntilNS: unit.Time(4 * anHour), Taps: []state.TapAccount{t}}
}

func silentOnce(t *state.TapAccount) {
	t.Outages, t.Occasions, t.Causes, t.LongestNS = 1, 1, [4]int64{0, 0, 1, 0}, 2*unit.Second
	t.Latest = []state.SoakOutage{{FromNS: unit.Time(anHour), ToNS: unit.Time(anHour + 2*unit.Second), Cause: "silent", Outputs: []int{4}}}
}

func notBack(t *state.TapAccount) {
	t.GoneSinceNS, t.OutageNS, t.Leads.Silent = unit.Time(3*anHour), anHour, []int{2, 4}
}

// Of servo leads alone a terminal says what pulses show, and nothing of a link.
func TestALongRunOfLeadsAlone(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*state.TapAccount)
		ends   []string
		soak   []string
		status string
		never  []string
	}{
		"quiet": {func(*state.TapAccount) {},
			[]string{"leads: the long run counts 3 h of pulses on all outputs, silences: 0", "Nothing is proven yet.",
				"leads: 1 h more of pulses on all outputs without a silence would prove: occasions no more often than once in 1 h"},
			[]string{"leads: no silence of an output\n", "leads: outputs heard: 1, 2, 4; two or more outputs left where they rested at the same moment: never\n",
				"leads: 3 h of pulses on all outputs that had been heard, which counts\n"},
			"leads live | soak 3 h | 1 h more for 1 in 1 h | 4:00:00", []string{"that is over", "OUTPUT SILENT"}},
		"a silence": {silentOnce,
			[]string{"leads: the long run counts 3 h of pulses on all outputs, silences: 1", "Nothing is proven yet.",
				"leads: 1 h more of pulses on all outputs without a silence would prove: occasions no more often than once in 1 h"},
			[]string{"leads: silences of outputs: 1, occasions of them: 1; some outputs while others went on: once; the longest lasted 2.00 s\n",
				"silence of output 4 of 1970-01-01 01:00:00, 2.00 s (while the board went on)\n"},
			"leads live | soak 3 h | 1 h more for 1 in 1 h | 4:00:00", []string{"that is over", "OUTPUT SILENT"}},
		"of the only output": {func(t *state.TapAccount) { silentOnce(t); t.Leads.Outputs, t.Leads.Leaps = []int{4}, 2 },
			[]string{"leads: the long run counts 3 h of pulses on all outputs, silences: 1", "Nothing is proven yet.",
				"leads: 1 h more of pulses on all outputs without a silence would prove: occasions no more often than once in 1 h"},
			[]string{"occasions of them: 1; the only output: once; the longest", "leads: outputs heard: 4; the output left where it rested: twice\n"},
			"leads live | soak 3 h | 1 h more for 1 in 1 h | 4:00:00", []string{"two or more", "others went on"}},
		"not back": {notBack,
			[]string{"leads: the long run counts 3 h of pulses on all outputs, silences: 0", "Nothing is proven yet.",
				"leads: outputs 2, 4 must come back first"},
			[]string{"leads: no silence of an output that is over\n", "leads: 1970-01-01 03:00:00: outputs 2, 4 went and did not come back\n",
				"; beside that 1 h in silences of outputs\n"},
			"leads live | soak 3 h | OUTPUT SILENT | 4:00:00", []string{"1 in 1 h"}},
		"nothing was heard": {func(t *state.TapAccount) { t.Leads.Outputs, t.LiveNS, t.WaitingNS = nil, 0, 4*anHour },
			[]string{"leads: the long run counts 0 s of pulses on all outputs, silences: 0", "Nothing is proven yet.",
				"leads: 1 h more of pulses on all outputs without a silence would prove: occasions no more often than once in 1 h"},
			[]string{"leads: outputs heard: none; ", "beside that 4 h without a line of the board or a pulse\n"},
			"leads live | soak 0 s | 1 h more for 1 in 1 h | 4:00:00", []string{"OUTPUT SILENT"}},
	} {
		t.Run(name, func(t *testing.T) {
			a := leadsAlone(c.change)
			assert.Equal(t, c.ends, view.LongRunEnds(&state.State{Account: a}))
			soak := view.Soak(a, "By hand", 0, 0)
			for _, want := range append(c.soak, "the capture board on the servo leads", "no pulse of an output for five of its periods") {
				assert.Contains(t, soak, want)
			}
			s := state.State{Recorder: state.Recorder{Recording: true}, NowNS: unit.Time(4 * anHour), SeenNS: unit.Time(4 * anHour),
				Taps: []state.Tap{{Name: "leads", Kind: "pulses", Up: true, Locked: true, LastNS: 1, Board: &state.Board{}}}, Account: a}
			status := view.StatusLine(&s, &sheet.Sheet{Soak: &sheet.Soak{}}, 120, false)
			assert.Equal(t, c.status, status)
			for _, not := range append(c.never, "live link", "signal", "SIGNAL", "missed on the air", "outage", "failsafe", "heartbeat") {
				assert.NotContains(t, soak+status, not)
			}
		})
	}
}

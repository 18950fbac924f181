package view_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

func TestTheHeadline(t *testing.T) {
	s, sh := present(t, func(s *state.State) {
		board(s)
		s.Taps[0].Signal = event.SignalFailsafe
		s.Recorder.Recording, s.Drill, s.SeenNS = false, "ends", 0
		s.Claims = []state.Claim{{Verdict: event.VerdictWrong}, {Verdict: event.VerdictRight}}
	})
	assert.Equal(t, []view.Part{
		{view.PartLink, "main FAILSAFE", "trouble"}, {view.PartMode, "HOLD-COURSE", "plain"}, {view.PartThrottle, "throttle 1399 µs", "plain"},
		{view.PartGain, "gain 1485 µs", "plain"}, {view.PartRecorder, "NOT RECORDING", "wrong"}, {view.PartLate, "JUDGED LATE", "trouble"},
		{view.PartWrong, "1 SEEN WRONG", "wrong"}, {view.PartBoard, "leads live", "plain"}, {view.PartTime, "1:15", "plain"},
		{view.PartDrill, "drill ends", "plain"}, {view.PartSwitch, "aid fourth", "plain"}, {view.PartSwitch, "teach rest", "plain"},
		{view.PartOutputs, "outputs 1: 1501, 3: 1000 µs", "plain"},
	}, view.Headline(s, sh))
}

// Terminal and page say the same words.
func TestTheHeadlineIsTheStatusLine(t *testing.T) {
	for _, change := range []func(*state.State){
		nil, board, func(s *state.State) { s.Taps[0].Locked, s.Taps[0].ModeKnown = false, false },
		func(s *state.State) { s.Taps[0].Name = "ma\x1bin" },
		func(s *state.State) { s.Account = &state.Account{Taps: []state.TapAccount{{}}, Goal: &state.SoakGoal{}} },
	} {
		s, sh := present(t, change)
		var texts []string
		for _, p := range view.Headline(s, sh) {
			assert.NotEmpty(t, p.Part)
			texts = append(texts, p.Text)
		}
		assert.Equal(t, view.StatusLine(s, sh, 0, false), strings.Join(texts, " | "))
	}
}

func TestTheHeadlineWithoutASheet(t *testing.T) {
	s, _ := present(t, nil)
	parts := view.Headline(s, &sheet.Sheet{Listens: true})
	assert.Equal(t, view.PartListening, parts[1].Part)
	none := view.Headline(&state.State{NowNS: 5, Recorder: state.Recorder{Recording: true}}, &sheet.Sheet{})
	assert.Equal(t, []view.Part{{view.PartTime, "0:00", "plain"}}, none, "before any tap was heard")
}

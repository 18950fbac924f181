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
	assert.Equal(t, []state.Part{
		{Part: state.PartLink, Text: "main FAILSAFE", Grade: "trouble"},
		{Part: state.PartMode, Text: "HOLD-COURSE", Grade: "plain"},
		{Part: state.PartThrottle, Text: "throttle 1399 µs", Grade: "plain"},
		{Part: state.PartGain, Text: "gain 1485 µs", Grade: "plain"},
		{Part: state.PartRecorder, Text: "NOT RECORDING", Grade: "wrong"},
		{Part: state.PartLate, Text: "JUDGED LATE", Grade: "trouble"},
		{Part: state.PartWrong, Text: "1 SEEN WRONG", Grade: "wrong"},
		{Part: state.PartBoard, Text: "leads live", Grade: "plain"},
		{Part: state.PartTime, Text: "1:15", Grade: "plain"},
		{Part: state.PartDrill, Text: "drill ends", Grade: "plain"},
		{Part: state.PartSwitch, Text: "aid fourth", Grade: "plain"},
		{Part: state.PartSwitch, Text: "teach rest", Grade: "plain"},
		{Part: state.PartOutputs, Text: "outputs 1: 1501, 3: 1000 µs", Grade: "plain"},
	}, view.Headline(s, sh))
}

// Terminal and page say the same words.
func TestTheHeadlineIsTheStatusLine(t *testing.T) {
	for _, change := range []func(*state.State){
		nil, board, func(s *state.State) { s.Taps[0].Locked, s.Taps[0].ModeKnown = false, false },
		func(s *state.State) { s.Taps[0].Name = "ma\x1bin" },
		func(s *state.State) {
			s.Account = &state.Account{Taps: []state.TapAccount{{}}, Goal: &state.SoakGoal{}}
		},
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
	assert.Equal(t, state.PartListening, parts[1].Part)
	none := view.Headline(&state.State{NowNS: 5, Recorder: state.Recorder{Recording: true}}, &sheet.Sheet{})
	assert.Equal(t, []state.Part{{Part: state.PartTime, Text: "0:00", Grade: "plain"}}, none, "before any tap was heard")
}

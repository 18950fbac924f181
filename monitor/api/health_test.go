package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

func TestHealthNamesWhatIsUnwell(t *testing.T) {
	r := start(t, nil)
	nine := state.PortTally{Bytes: 9}
	for _, c := range []struct {
		about, sentence string
		change          func(*state.State)
	}{
		{"", "", func(*state.State) {}},
		{"", "", func(s *state.State) { s.SeenNS = s.NowNS.Add(-3 * unit.Second) }},
		{"judgement", "nothing has been judged for 3.1s: benchproof itself is stuck or overloaded",
			func(s *state.State) { s.SeenNS = s.NowNS.Add(-3_100 * unit.Millisecond) }},
		{"tap:main", "tap main: its port is not open yet", func(s *state.State) { s.Taps[0].Up = false }},
		{"tap:main", "tap main: its port is not open: no such device", func(s *state.State) { s.Taps[0].Up, s.Taps[0].Why = false, "no such device" }},
		{"tap:main", "tap main: the port is open, but nothing has come in", func(s *state.State) { s.Taps[0] = state.Tap{Name: "main", Up: true, LastNS: -1} }},
		{"tap:main", "tap main: 9 characters came in, but no line of a capture board can be read from them: its rate, or another device?", func(s *state.State) {
			s.Taps[0] = state.Tap{Name: "main", Kind: "pulses", Up: true, LastNS: -1, PortTally: nine, Board: &state.Board{}}
		}},
		{"tap:main", "tap main: the capture board is heard, but no pulse: are its leads on the outputs, and the receiver on?", func(s *state.State) {
			s.Taps[0] = state.Tap{Name: "main", Kind: "pulses", Up: true, LastNS: -1, PortTally: nine, Board: &state.Board{BoardTally: state.BoardTally{Lines: 1}}}
		}},
		{"tap:main", "tap main: 9 characters came in, but no frame can be read from them: inverter, or the wrong output of " +
			"the receiver?", func(s *state.State) { s.Taps[0] = state.Tap{Name: "main", Up: true, LastNS: -1, PortTally: nine} }},
		{"tap:main", "tap main: the bus is silent, the last frame was 2.5s ago", func(s *state.State) { s.Taps[0].Locked, s.Taps[0].LastNS = false, 7_500_000_000 }},
		{"tap:main", "tap main: no live frame: the receiver flags each as lost", func(s *state.State) { s.Taps[0].Signal = event.SignalLost }},
		{"tap:main", "tap main: the receiver is in failsafe", func(s *state.State) { s.Taps[0].Signal = event.SignalFailsafe }},
		{"", "", func(s *state.State) { s.Taps[0].Signal = event.SignalMissed }},
		{"disk", "the disk of sessions/reedwing has not answered for two seconds", func(s *state.State) { s.Recorder.Stalled = true }},
		{"recording", "what is heard now is not recorded in sessions/reedwing: no space left on device",
			func(s *state.State) { s.Recorder.Recording, s.Recorder.Trouble = false, "no space left on device" }},
		{"disk", "trouble with the disk of sessions/reedwing: input/output error", func(s *state.State) { s.Recorder.Trouble = "input/output error" }},
	} {
		now := well()
		c.change(&now)
		r.now.Store(&now)
		got := r.get(t, "/healthz")
		var h struct {
			Well     bool
			Troubles []struct{ About, Sentence string }
		}
		require.NoError(t, json.Unmarshal([]byte(got.body), &h))
		if c.about == "" {
			assert.Equal(t, 200, got.code)
			assert.JSONEq(t, `{"well":true,"troubles":[]}`, got.body)
			continue
		}
		assert.Equal(t, 503, got.code, c.sentence)
		assert.False(t, h.Well)
		require.Len(t, h.Troubles, 1, c.sentence)
		assert.Equal(t, c.about, h.Troubles[0].About)
		assert.Equal(t, c.sentence, h.Troubles[0].Sentence)
	}
}

func TestHealthTellsAllTroublesAtOnce(t *testing.T) {
	r := start(t, nil)
	now := well()
	now.Taps = append(now.Taps, state.Tap{Name: "second", Why: "unplugged"})
	now.SeenNS = 0
	now.Recorder.Stalled, now.Recorder.Recording = true, false
	r.now.Store(&now)
	var h struct{ Troubles []struct{ About string } }
	require.NoError(t, json.Unmarshal([]byte(r.get(t, "/healthz").body), &h))
	var about []string
	for _, p := range h.Troubles {
		about = append(about, p.About)
	}
	assert.Equal(t, []string{"tap:second", "judgement", "disk", "recording"}, about)
}

// Before anything is known there are empty lists, not null.
func TestTheEmptyMoment(t *testing.T) {
	r := start(t, nil)
	r.now.Store(&state.State{Taps: []state.Tap{{Name: "main"}}, Claims: []state.Claim{{ID: "a"}}})
	assert.NotContains(t, r.get(t, "/api/state").body, "null")
	assert.NotContains(t, r.get(t, "/api/claims").body, "null")
	assert.Nil(t, r.now.Load().Taps[0].Channels, "what was handed out stays as it is")
	r.now.Store(&state.State{})
	assert.NotContains(t, r.get(t, "/api/state").body, "null")
	assert.Contains(t, r.get(t, "/api/claims").body, `"claims":[]`)
}

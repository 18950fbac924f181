package view_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// judged is a state in which the claims of a sheet have the verdicts that a function gives.
func judged(t *testing.T, text []byte, verdict func(id string) string) (*state.State, claim.Index) {
	t.Helper()
	sh, err := sheet.Read("sheet", text)
	require.NoError(t, err)
	s := &state.State{}
	for _, c := range claim.New(sh).Claims() {
		s.Claims = append(s.Claims, state.Claim{ID: c.ID, Verdict: verdict(c.ID)})
	}
	return s, claim.NewIndex(sh)
}

func allOpen(string) string { return event.VerdictOpen }

// only are open, and all else was seen right.
func only(ids ...string) func(string) string {
	return func(id string) string {
		if slices.Contains(ids, id) {
			return event.VerdictOpen
		}
		return event.VerdictRight
	}
}

func said(steps []state.Next) (list []string) {
	for _, n := range steps {
		list = append(list, fmt.Sprintf("%s: settles %d", n.Do, len(n.Claims)))
	}
	return list
}

func TestWhatToDoNext(t *testing.T) {
	for _, c := range []struct {
		name    string
		text    []byte
		verdict func(string) string
		want    []string
	}{
		{"one switch settles its place, its mode and the margin", sheet.Starter(),
			only("position/aid/third", "mode/upright/third", "margin/upright/third"),
			[]string{"put aid to third: settles 3", "drill mode: settles 2"}},
		{"two switches at once do what each does", sheettest.TwoSwitches(),
			only("position/inner/front", "position/outer/back", "mode/upright/front/back", "margin/upright/front/back"),
			[]string{"put inner to front and outer to back: settles 4", "drill mode: settles 2"}},
		{"a knob turns, and the drill says when it stands in the centre", sheet.Starter(), only("gain/span", "gain/half"),
			[]string{"drill gain: settles 2", "turn strength to both ends: settles 1"}},
		{"what only takes time comes last", sheet.Starter(), only("link/spikes", "link/moving", "failsafe/flag"),
			[]string{"drill failsafe: settles 1", "listen for longer: that something never happens takes time to see: settles 2"}},
		{"what can only be seen wrong asks for nothing", sheet.Starter(), only("steady/output:1"), nil},
		{"nothing", sheet.Starter(), only(), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, claims := judged(t, c.text, c.verdict)
			assert.Equal(t, c.want, said(view.Next(s, claims)))
		})
	}
}

func TestTheNextStepsOfANewSession(t *testing.T) {
	s, claims := judged(t, sheet.Starter(), allOpen)
	steps := view.Next(s, claims)
	seen := map[string]bool{}
	for i, n := range steps {
		assert.NotEmpty(t, n.Claims, n.Do)
		assert.NotNil(t, n.Settings, n.Do)
		assert.Len(t, n.Claims, len(slices.Compact(slices.Sorted(slices.Values(n.Claims)))), "%s: no claim twice", n.Do)
		if i > 0 && n.Waits == steps[i-1].Waits {
			assert.LessOrEqual(t, len(n.Claims), len(steps[i-1].Claims), n.Do)
		}
		for _, id := range n.Claims {
			seen[id] = true
		}
	}
	for id, c := range claims {
		assert.Equal(t, !c.OnlyWrong, seen[id], id)
	}
	put := steps[slices.IndexFunc(steps, func(n state.Next) bool { return n.Do == "put aid to third" })]
	assert.Equal(t, []state.Setting{{Channel: "aid", Place: "third"}}, put.Settings)
	assert.Empty(t, put.Drill)
}

// Seen wrong waits for the builder, and a claim that was changed since is open again.
func TestNextByVerdict(t *testing.T) {
	for verdict, want := range map[string]int{event.VerdictWrong: 0, string(claim.VerdictStale): 1, event.VerdictOpen: 1} {
		s, claims := judged(t, sheet.Starter(), func(id string) string {
			if id == "position/aid/third" {
				return verdict
			}
			return event.VerdictRight
		})
		s.Claims = append(s.Claims, state.Claim{ID: "of/another/sheet", Verdict: event.VerdictOpen})
		assert.Len(t, view.Next(s, claims), want, verdict)
	}
}

// What is done now is no thing to do: it is said to be left so, last, until it was looked at.
func TestWhatIsDoneNowIsNotAskedFor(t *testing.T) {
	s, index := judged(t, sheet.Starter(), only("position/aid/third", "mode/upright/third", "margin/upright/third", "position/aid/fourth"))
	at := func(place string) {
		s.Taps = []state.Tap{{Kind: "bus", Up: true, Locked: true, Signal: event.SignalLive, Channels: []state.Channel{{Name: "aid", Place: place}}}}
	}
	at("second")
	assert.Equal(t, []string{"put aid to third: settles 3", "drill mode: settles 2", "put aid to fourth: settles 1"}, said(view.Next(s, index)))
	at("third")
	assert.Equal(t, []string{"drill mode: settles 2", "put aid to fourth: settles 1",
		"leave aid at third for a moment: it is looked at: settles 3"}, said(view.Next(s, index)))
	s.Taps[0].Signal = event.SignalLost
	assert.Equal(t, "put aid to third: settles 3", said(view.Next(s, index))[0], "nobody knows where it stands")
}

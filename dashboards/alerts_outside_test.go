//go:build outside

package dashboards_test

import (
	"encoding/json"
	"maps"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// troubles makes each alert fire. Those of a tap have a tap of that name for
// themselves.
var troubles = []struct {
	alert string
	over  bool // fires no more once all is well again; others look back in time
	make  func(*state.State, *state.Tap)
}{
	// First, while the room of the last hours says little else.
	{"BenchDiskFullInADay", true, func(s *state.State, _ *state.Tap) { s.Recorder.FreeBytes = 15e9 }},
	{"BenchDiskNearlyFull", true, func(s *state.State, _ *state.Tap) { s.Recorder.FreeBytes = 1e9 }},
	{"BenchOutage", false, func(s *state.State, t *state.Tap) { accountOf(s, t).Outages++ }},
	{"BenchReceiverRestarted", false, func(s *state.State, t *state.Tap) { accountOf(s, t).Restarts++ }},
	{"BenchSignalGone", true, func(s *state.State, t *state.Tap) { accountOf(s, t).GoneSinceNS = s.NowNS }},
	{"BenchLongRunShown", true, func(s *state.State, _ *state.Tap) {
		for i := range s.Claims {
			if s.Claims[i].ID == "soak/outages" {
				s.Claims[i].Verdict = "seen right"
			}
		}
	}},
	{"BenchGoalReached", true, func(s *state.State, _ *state.Tap) {
		s.Account.Goal = &state.SoakGoal{QuietNS: s.Account.Goal.QuietNS, SoFarNS: s.Account.Goal.QuietNS, ReachedNS: s.NowNS}
	}},
	{"BenchTapDown", true, func(_ *state.State, t *state.Tap) { t.Up, t.Locked = false, false }},
	{"BenchTapUnsteady", false, func(_ *state.State, t *state.Tap) { t.Ups += 5 }},
	{"BenchCharactersLost", false, func(_ *state.State, t *state.Tap) { t.LostChars += 3 }},
	{"BenchBusSilent", true, func(_ *state.State, t *state.Tap) { t.Locked = false }},
	{"BenchOutputSilent", true, func(_ *state.State, t *state.Tap) {
		t.Board = &state.Board{Outputs: []state.Output{{Number: 1, Pulsing: true}, {Number: 2}}}
	}},
	{"BenchWireDamaged", false, func(_ *state.State, t *state.Tap) { t.Damaged += 1000 }},
	{"BenchFramesLeftOut", false, func(_ *state.State, t *state.Tap) { t.GapFrames += 1000 }},
	{"BenchFailsafeStands", true, func(_ *state.State, t *state.Tap) { t.Signal = event.SignalFailsafe }},
	{"BenchLinkMissed", false, func(_ *state.State, t *state.Tap) { t.Missed += 1000 }},
	{"BenchValuesSuspect", true, func(_ *state.State, t *state.Tap) { t.Suspect = true }},
	{"BenchClaimSeenWrong", true, func(s *state.State, _ *state.Tap) { s.Claims[0].Verdict = "seen wrong" }},
	{"BenchClaimsStale", true, func(s *state.State, _ *state.Tap) { s.Claims[1].Verdict = "stale" }},
	{"BenchRecordingStopped", true, func(s *state.State, _ *state.Tap) { s.Recorder.Recording = false }},
	{"BenchDiskStalled", true, func(s *state.State, _ *state.Tap) { s.Recorder.Stalled = true }},
	{"BenchEventsWait", true, func(s *state.State, _ *state.Tap) { s.Recorder.Waiting = 5000 }},
	{"BenchJudgementBehind", true, func(s *state.State, _ *state.Tap) { s.SeenNS = s.SeenNS.Add(-60 * unit.Second) }},
	{"BenchJudgementFailed", false, func(s *state.State, _ *state.Tap) { s.Faults++ }},
}

// accountOf is the account of a tap.
func accountOf(s *state.State, t *state.Tap) *state.TapAccount {
	i := slices.IndexFunc(s.Account.Taps, func(a state.TapAccount) bool { return a.Name == t.Name })
	return &s.Account.Taps[i]
}

// bench is a bench that goes on with each scrape.
type bench struct {
	sync.Mutex
	now state.State
}

// well is a bench without trouble, with a tap for each alert that has one.
func well(t *testing.T) state.State {
	text, err := os.ReadFile("../monitor/metrics/testdata/hearing.json")
	require.NoError(t, err)
	var s state.State
	require.NoError(t, json.Unmarshal(text, &s))
	s.Drill, s.Taps = "", s.Taps[:1]
	for _, c := range troubles {
		tap := s.Taps[0]
		tap.Name = c.alert
		tap.Board = &state.Board{Outputs: []state.Output{{Number: 1, Pulsing: true}, {Number: 2, Pulsing: true}}}
		s.Taps = append(s.Taps, tap)
		a := s.Account.Taps[0]
		a.Name = c.alert
		s.Account.Taps = append(s.Account.Taps, a)
	}
	for i := range s.Claims {
		s.Claims[i].Verdict = "open"
	}
	return s
}

func (b *bench) snapshot() state.State {
	b.Lock()
	defer b.Unlock()
	b.now.NowNS = b.now.NowNS.Add(250 * unit.Millisecond)
	b.now.SeenNS = b.now.SeenNS.Add(250 * unit.Millisecond)
	b.now.Recorder.Inputs += 36
	for i := range b.now.Taps {
		if t := &b.now.Taps[i]; t.Up && t.Locked {
			t.Frames += 36
			t.Bytes += 900
			t.LastNS = b.now.NowNS
		}
	}
	s := b.now
	a := *s.Account
	a.Taps = slices.Clone(a.Taps)
	s.Taps, s.Claims, s.Account = slices.Clone(s.Taps), slices.Clone(s.Claims), &a
	return s
}

func (b *bench) change(f func(*state.State)) {
	b.Lock()
	defer b.Unlock()
	f(&b.now)
}

// Our alerts in a real Prometheus: none while all is well, each at its
// own trouble and at no other, gone when the trouble is; and the bench's absence.
func TestAlertsInPrometheus(t *testing.T) {
	b := &bench{now: well(t)}
	server := httptest.NewServer(metrics.Handler(b.snapshot))
	defer server.Close()
	p := start(t, strings.TrimPrefix(server.URL, "http://"))
	p.settled(t)
	calm, err := p.firing()
	require.NoError(t, err)
	require.Empty(t, calm)

	want, left := map[string]bool{}, map[string]bool{}
	for i, c := range troubles {
		b.change(func(s *state.State) { c.make(s, &s.Taps[i+1]) })
		key := p.appears(t, c.alert)
		assert.Contains(t, []string{c.alert + " ", c.alert + " " + c.alert}, key, "about its own tap")
		want[key] = true
		if !c.over {
			left[key] = true
		}
		p.becomes(t, want)
	}
	b.change(mend)
	p.becomes(t, left)
	server.Close()
	p.appears(t, "BenchAbsent")
}

// Each alert is tried.
func TestTroublesAreComplete(t *testing.T) {
	names := []string{"BenchAbsent"}
	for _, c := range troubles {
		names = append(names, c.alert)
	}
	var have []string
	for _, r := range alerts(t) {
		have = append(have, r.Alert)
	}
	assert.ElementsMatch(t, have, names)
}

// mend ends all troubles; what was counted stays.
func mend(s *state.State) {
	for i := range s.Taps {
		t := &s.Taps[i]
		t.Up, t.Locked, t.Signal, t.Suspect = true, true, event.SignalLive, false
		t.Board = &state.Board{Outputs: []state.Output{{Number: 1, Pulsing: true}, {Number: 2, Pulsing: true}}}
	}
	for i := range s.Account.Taps {
		s.Account.Taps[i].GoneSinceNS = -1
	}
	s.Account.Goal = &state.SoakGoal{QuietNS: s.Account.Goal.QuietNS, ReachedNS: -1}
	for i := range s.Claims {
		s.Claims[i].Verdict = "open"
	}
	s.Recorder.Recording, s.Recorder.Stalled, s.Recorder.Waiting, s.Recorder.FreeBytes = true, false, 0, 20e9
	s.SeenNS = s.NowNS
}

// appears waits until an alert fires and looks at what it says; it gives name and
// tap.
func (p *prometheus) appears(t *testing.T, alert string) (key string) {
	require.Eventually(t, func() bool {
		now, err := p.firing()
		for k, says := range now {
			if strings.HasPrefix(k, alert+" ") {
				key = k
				assert.NotContains(t, says["summary"]+says["description"], "<", "%s: %s", alert, says)
				assert.NotContains(t, says["summary"]+says["description"], "{{", alert)
			}
		}
		return err == nil && key != ""
	}, patience, often, "%s never fires", alert)
	return key
}

// becomes waits until exactly these alerts fire.
func (p *prometheus) becomes(t *testing.T, want map[string]bool) {
	var got []string
	if !assert.Eventually(t, func() bool {
		now, err := p.firing()
		got = slices.Sorted(maps.Keys(now))
		return err == nil && slices.Equal(got, slices.Sorted(maps.Keys(want)))
	}, patience, often) {
		require.Equal(t, slices.Sorted(maps.Keys(want)), got)
	}
}

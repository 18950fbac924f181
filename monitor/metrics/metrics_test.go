package metrics_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// samples are the lines of an exposition as series and value.
func samples(text string) map[string]string {
	got := map[string]string{}
	for line := range strings.Lines(text) {
		if i := strings.LastIndexByte(line, ' '); line[0] != '#' {
			got[line[:i]] = strings.TrimSpace(line[i+1:])
		}
	}
	return got
}

// about are the sample names of a tap, without repetition.
func about(got map[string]string, tap string) []string {
	names := map[string]bool{}
	for series := range got {
		if name, labels, _ := strings.Cut(series, "{"); strings.Contains(labels, `tap="`+tap+`"`) {
			names[strings.TrimPrefix(name, "benchproof_")] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

var (
	counters = []string{"bad_bytes_total", "damage_runs_total", "damaged_frames_total", "failsafe_frames_total", "frame_period_seconds_bucket",
		"frame_period_seconds_count", "frame_period_seconds_sum", "frames_total", "gap_frames_total", "gap_runs_total", "link_frames_total",
		"link_missed_frames_total", "link_missed_runs_total", "lost_bytes_total", "missed_frames_total", "received_bytes_total",
		"refused_bytes_total", "tap_live", "tap_up", "tap_ups_total"}
	fresh = []string{"bus_period_seconds", "channel_counts", "channel_width_seconds", "mode_asked", "port_clumping_seconds", "signal", "values_suspect"}
	last  = []string{"last_frame_timestamp_seconds"}
)

func sorted(lists ...[]string) []string {
	all := slices.Concat(lists...)
	slices.Sort(all)
	return all
}

// accounted is what a tap's account shows, whether it is heard or not.
var accounted = []string{
	"soak_claim_seconds", "soak_live_seconds", "soak_next_claim_remaining_seconds", "soak_next_claim_seconds", "soak_occasions", "soak_outages",
	"soak_restarts", "soak_signal_gone",
}

// What is not heard is not shown, and what was counted stays.
func TestOldValuesDisappear(t *testing.T) {
	hearing := moment(t, "testdata/hearing.json")
	require.Equal(t, sorted(counters, fresh, last, accounted), about(samples(exposition(t, hearing)), "main"), "while frames come")
	for _, c := range []struct {
		name     string
		up, live bool
	}{{"silent", true, false}, {"gone", false, false}, {"gone, and not told to be silent yet", false, true}} {
		s := hearing
		s.Taps = slices.Clone(hearing.Taps)
		s.Taps[0].Up, s.Taps[0].Locked = c.up, c.live
		before, after := samples(exposition(t, hearing)), samples(exposition(t, s))
		assert.Equal(t, sorted(counters, last, accounted), about(after, "main"), c.name)
		for series, value := range after {
			if !strings.HasPrefix(series, "benchproof_tap_") {
				assert.Equal(t, before[series], value, "%s: %s", c.name, series)
			}
		}
	}
}

// A goal is counted down to nothing, and what is left is never nothing before it is reached.
func TestAGoal(t *testing.T) {
	s := moment(t, "testdata/hearing.json")
	shown := func(g *state.SoakGoal) map[string]string {
		account := *s.Account
		account.Goal = g
		s := s
		s.Account = &account
		return samples(exposition(t, s))
	}
	got := shown(s.Account.Goal)
	assert.Equal(t, "32400", got["benchproof_soak_goal_remaining_seconds"])
	assert.Equal(t, "1", got["benchproof_soak_goal_failed_stretches"])
	const hour = 60 * unit.Minute
	assert.NotEqual(t, "0", shown(&state.SoakGoal{QuietNS: hour, SoFarNS: hour, ReachedNS: -1})["benchproof_soak_goal_remaining_seconds"])
	assert.Equal(t, "0", shown(&state.SoakGoal{QuietNS: hour, SoFarNS: hour, ReachedNS: 7})["benchproof_soak_goal_remaining_seconds"])
	assert.NotContains(t, shown(nil), "benchproof_soak_goal_remaining_seconds")
}

func TestBeforeTheFirstByte(t *testing.T) {
	got := samples(exposition(t, moment(t, "testdata/before.json")))
	assert.Equal(t, counters, about(got, "main"))
	assert.Equal(t, counters, about(got, "wing"))
	for _, reason := range []string{"no-header", "no-footer", "unconfirmed", "cut-off"} {
		assert.Equal(t, "0", got[`benchproof_refused_bytes_total{reason="`+reason+`",tap="main"}`])
	}
	assert.NotContains(t, got, "benchproof_recorder_free_bytes", "not known")
	assert.NotEmpty(t, samples(exposition(t, state.State{})), "nothing set at all")
}

func TestFiguresInBaseUnits(t *testing.T) {
	got := samples(exposition(t, moment(t, "testdata/hearing.json")))
	for series, want := range map[string]string{
		`benchproof_channel_width_seconds{channel="aileron",tap="main"}`:  "0.0015",
		`benchproof_channel_width_seconds{channel="5",tap="main"}`:        "0.0015",
		`benchproof_channel_counts{channel="18",tap="main"}`:              "1",
		`benchproof_mode_asked{mode="damping",tap="main"}`:                "1",
		`benchproof_mode_asked{mode="no mode",tap="wing"}`:                "1",
		`benchproof_signal{signal="failsafe",tap="wing"}`:                 "1",
		`benchproof_signal{signal="live",tap="wing"}`:                     "0",
		`benchproof_last_frame_timestamp_seconds{tap="tail"}`:             "1.777713308e+09",
		`benchproof_soak_claim_seconds{tap="main"}`:                       "7200",
		`benchproof_soak_next_claim_remaining_seconds{tap="main"}`:        "21600",
		`benchproof_claims{verdict="open"}`:                               "2",
		`benchproof_claim_verdict{claim="gain/span",verdict="stale"}`:     "1",
		`benchproof_refused_bytes_total{reason="cut-off",tap="tail"}`:     "24",
		`benchproof_frame_period_seconds_bucket{tap="main",le="0.0065"}`:  "5",
		`benchproof_frame_period_seconds_bucket{tap="main",le="0.0075"}`:  "99905",
		`benchproof_frame_period_seconds_bucket{tap="main",le="1"}`:       "99998",
		`benchproof_frame_period_seconds_bucket{tap="main",le="+Inf"}`:    "99999",
		`benchproof_frame_period_seconds_count{tap="main"}`:               "99999",
		`benchproof_frame_period_seconds_sum{tap="main"}`:                 "702.5",
		`benchproof_judgement_lag_seconds`:                                "0.12",
		`benchproof_drill_running{drill="neutral"}`:                       "1",
		`benchproof_session_info{model="Reedwing 1400"}`:                  "1",
		`benchproof_recorder_free_bytes`:                                  "2.147483648e+10",
		`benchproof_build_info{build="benchproof v1.2.3 linux/arm64"}`:    "1",
		`benchproof_claim_verdict{claim="order/aileron",verdict="open"}`:  "1",
		`benchproof_judged_timestamp_seconds`:                             "1.7777139429e+09",
		`benchproof_frame_period_seconds_bucket{tap="wing",le="0.0145"}`:  "39999",
		`benchproof_session_began_timestamp_seconds`:                      "1.777713243e+09",
		`benchproof_channel_width_seconds{channel="throttle",tap="wing"}`: "0.0009875",
		`benchproof_port_clumping_seconds{tap="wing"}`:                    "0.015",
		`benchproof_events_total`:                                         "431",
		`benchproof_recorder_waiting_events`:                              "2",
		`benchproof_claims{verdict="seen wrong"}`:                         "1",
		`benchproof_bus_period_seconds{tap="main"}`:                       "0.0070001",
		`benchproof_values_suspect{tap="wing"}`:                           "1",
		`benchproof_channel_width_seconds{channel="inner",tap="main"}`:    "0.0009875",
		`benchproof_recorder_recording`:                                   "1",
		`benchproof_last_frame_timestamp_seconds{tap="main"}`:             "1.777713943012345e+09",
		`benchproof_judgement_faults_total`:                               "1",
		`benchproof_session_runs_total`:                                   "2",
		`benchproof_frame_period_seconds_bucket{tap="main",le="0.1"}`:     "99998",
		`benchproof_tap_ups_total{tap="tail"}`:                            "5",
	} {
		assert.Equal(t, want, got[series], series)
	}
	assert.NotContains(t, got, `benchproof_channel_width_seconds{channel="17",tap="main"}`, "a digital channel without places has no width")
}

func TestBoundsAreInclusive(t *testing.T) {
	var s state.State
	s.Taps = []state.Tap{{Name: "main"}}
	for _, bound := range state.PeriodBounds {
		s.Taps[0].Periods.Add(bound)
		s.Taps[0].Periods.Add(bound + 1)
	}
	got := samples(exposition(t, s))
	assert.Equal(t, "1", got[`benchproof_frame_period_seconds_bucket{tap="main",le="0.003"}`], "3 ms lies in its own bucket, a nanosecond more does not")
	assert.Equal(t, "3", got[`benchproof_frame_period_seconds_bucket{tap="main",le="0.005"}`])
	assert.Equal(t, "40", got[`benchproof_frame_period_seconds_count{tap="main"}`])
}

// The words are those of the claims.
func TestVerdictsAreThoseOfClaims(t *testing.T) {
	want := []string{string(claim.VerdictOpen), string(claim.VerdictRight), string(claim.VerdictWrong), string(claim.VerdictStale)}
	assert.Equal(t, want, metrics.Verdicts())
}

// A name that no exposition can carry costs neither the scrape nor its sense.
func TestNamesThatAreNoText(t *testing.T) {
	s := moment(t, "testdata/hearing.json")
	s.Model, s.Taps[0].Name = "Reed\xffwing", "\xfe"
	got := samples(exposition(t, s))
	assert.Contains(t, got, "benchproof_session_info{model=\"Reed\uFFFDwing\"}")
	assert.Contains(t, got, "benchproof_frame_period_seconds_count{tap=\"\uFFFD\"}")
}

// A scrape shows one moment.
func TestOneSnapshotAScrape(t *testing.T) {
	asked := 0
	s := state.State{Taps: []state.Tap{{Name: "main", LastNS: unit.Time(-1)}}}
	testutil.CollectAndCount(metrics.New(func() state.State { asked++; return s }))
	assert.Equal(t, 1, asked)
}

package metrics

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// session are the families of the session and its judgement.
func session() []family {
	return []family{
		gauge("build_info", "The program that listens; always 1.", []string{"build"}, func(s *state.State, show show) {
			show(1, s.Build)
		}),
		gauge("session_info", "The model of this session; always 1.", []string{"model"}, func(s *state.State, show show) {
			show(1, s.Model)
		}),
		gauge("session_began_timestamp_seconds", "When the session began, Unix time.", nil, func(s *state.State, show show) {
			show(unix(s, 0))
		}),
		counter("session_runs_total", "How often the session was begun or resumed.", nil, func(s *state.State, show show) {
			show(float64(s.Runs))
		}),
		counter("events_total", "Events of the session: the number of the latest.", nil, func(s *state.State, show show) {
			show(float64(s.Seq))
		}),
		gauge("judged_timestamp_seconds", "Up to when what was heard is judged, Unix time.", nil, func(s *state.State, show show) {
			show(unix(s, s.SeenNS))
		}),
		gauge("judgement_lag_seconds", "How far judgement is behind now; up to a little over a second is usual.", nil, func(s *state.State, show show) {
			show(seconds(max(0, s.NowNS.Sub(s.SeenNS))))
		}),
		counter("judgement_faults_total", "How often judgement gave up and began afresh.", nil, func(s *state.State, show show) {
			show(float64(s.Faults))
		}),
		counter("wrong_tokens_total", "Wrong tokens that came in over the network since this program began.", nil, func(s *state.State, show show) {
			show(float64(s.WrongTokens))
		}),
		gauge("drill_running", "1 for the drill that is under way; absent while none is.", []string{"drill"}, func(s *state.State, show show) {
			if s.Drill != "" {
				show(1, s.Drill)
			}
		}),
	}
}

// unix is a bench time as Unix time in seconds.
func unix(s *state.State, at unit.Time) float64 { return seconds(s.WallNS + int64(at)) }

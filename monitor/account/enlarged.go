package account

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// enlarged is one hour of the strip, minute by minute. A minute is what was counted in the
// latest piece of the strip since the minute began.
type enlarged struct {
	Hour    int64            // since the session began
	Minutes []state.SoakHour // those that are over; what was not watched at its end is left out
	Minute  int64            // the one under way, since the session began
	Was     state.SoakHour   // the latest piece of the strip when it began
}

// nextMinute closes the minute under way where it is over, and reports that. The worst hour is
// kept.
func (s *strip) nextMinute(since unit.Duration) bool {
	e, now := &s.Near, int64(since/unit.Minute)
	if now == e.Minute {
		return false
	}
	e.close(s.latest())
	if now/60 != e.Hour {
		if worseHour(e, &s.Worst) {
			s.Worst = *e
		}
		*e = enlarged{Hour: now / 60}
	}
	e.Minute = now
	return true
}

// close takes what was counted in the minute under way; latest is the piece of the strip that
// it is in.
func (e *enlarged) close(latest *state.SoakHour) {
	for int64(len(e.Minutes)) < e.Minute%60 {
		e.Minutes = append(e.Minutes, state.SoakHour{})
	}
	e.Minutes = append(e.Minutes, state.SoakHour{
		LiveNS: max(0, latest.LiveNS-e.Was.LiveNS), Frames: latest.Frames - e.Was.Frames, Missed: latest.Missed - e.Was.Missed,
		Outages: latest.Outages - e.Was.Outages, Failsafes: latest.Failsafes - e.Was.Failsafes, Restarts: latest.Restarts - e.Was.Restarts,
		Silences: max(0, latest.Silences-e.Was.Silences),
	})
}

// sum is all of an hour.
func (e *enlarged) sum() (h state.SoakHour) {
	for i := range e.Minutes {
		add(&h, &e.Minutes[i])
	}
	return h
}

// worseHour reports that something happened in one hour, and more than in another.
func worseHour(e, other *enlarged) bool {
	a, b := e.sum(), other.sum()
	return happened(&a) && (!happened(&b) || worse(&a, &b))
}

// worstHour is the worst hour, that under way with them; nil where nothing happened in any.
func (s *strip) worstHour(since unit.Time) *state.SoakMinutes {
	if len(s.Hours) == 0 {
		return nil
	}
	worst, near := s.Worst, s.Near
	near.Minutes = append([]state.SoakHour{}, near.Minutes...)
	near.close(s.latest())
	if worseHour(&near, &worst) {
		worst = near
	}
	if h := worst.sum(); !happened(&h) {
		return nil
	}
	return &state.SoakMinutes{FromNS: since.Add(unit.Duration(worst.Hour) * hour), Minutes: append([]state.SoakHour{}, worst.Minutes...)}
}

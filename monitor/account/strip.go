package account

import (
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// mostHours is how many pieces the strip of the days has before they are merged two by two: two weeks
// of hours.
const mostHours = 336

// strip is the strip of the days: an hour each at first, from the beginning of the session.
type strip struct {
	Width unit.Duration
	Hours []state.SoakHour
	Near  enlarged // the hour under way
	Worst enlarged // the worst of those before it
}

func newStrip() strip { return strip{Width: 60 * unit.Minute} }

// at is the piece in which a time since the session began lies.
func (s *strip) at(since unit.Duration) *state.SoakHour {
	begins := s.nextMinute(since)
	for int(since/s.Width) >= mostHours {
		s.merge()
	}
	for len(s.Hours) <= int(since/s.Width) {
		s.Hours = append(s.Hours, state.SoakHour{})
	}
	if begins {
		s.Near.Was = *s.latest()
	}
	return s.latest()
}

// latest is the piece that was last counted in.
func (s *strip) latest() *state.SoakHour {
	if len(s.Hours) == 0 {
		s.Hours = append(s.Hours, state.SoakHour{})
	}
	return &s.Hours[len(s.Hours)-1]
}

// takeBack takes live time back, the latest first.
func (s *strip) takeBack(d unit.Duration) {
	for i := len(s.Hours) - 1; i >= 0 && d > 0; i-- {
		part := min(d, s.Hours[i].LiveNS)
		s.Hours[i].LiveNS -= part
		d -= part
	}
}

func (s *strip) merge() {
	n := (len(s.Hours) + 1) / 2
	for i := range n {
		sum := s.Hours[2*i]
		if 2*i+1 < len(s.Hours) {
			add(&sum, &s.Hours[2*i+1])
		}
		s.Hours[i] = sum
	}
	s.Hours, s.Width = s.Hours[:n], 2*s.Width
}

func add(a, b *state.SoakHour) {
	a.LiveNS += b.LiveNS
	a.Frames += b.Frames
	a.Missed += b.Missed
	a.Outages += b.Outages
	a.Failsafes += b.Failsafes
	a.Restarts += b.Restarts
	a.Silences += b.Silences
}

// worst is the piece with the most outages, of these the one with the largest share of
// missed frames; -1 where nothing happened in any.
func (s *strip) worst() int {
	worst := -1
	for i := range s.Hours {
		h := &s.Hours[i]
		if !happened(h) {
			continue
		}
		if worst < 0 || worse(h, &s.Hours[worst]) {
			worst = i
		}
	}
	return worst
}

func happened(h *state.SoakHour) bool { return h.Outages+h.Missed+h.Silences+h.Failsafes > 0 }

func worse(a, b *state.SoakHour) bool {
	if a.Outages != b.Outages {
		return a.Outages > b.Outages
	}
	if a.Silences != b.Silences {
		return a.Silences > b.Silences
	}
	return a.Missed*max(1, b.Frames) > b.Missed*max(1, a.Frames)
}

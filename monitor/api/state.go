package api

import (
	"net/http"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

func (s *Server) state(w http.ResponseWriter, _ *http.Request) {
	now := s.moment()
	all := stateAnswer{State: now, Taps: make([]tapAnswer, 0, len(now.Taps))}
	for i := range now.Taps {
		all.Taps = append(all.Taps, tapAnswer{now.Taps[i], now.Taps[i].Condition()})
	}
	answer(w, http.StatusOK, all)
}

// stateAnswer is the present.
type stateAnswer struct {
	state.State
	Taps []tapAnswer `json:"taps"`
}

// tapAnswer is a tap with the word for how it does, so that nobody need find it out anew.
type tapAnswer struct {
	state.Tap
	Condition state.Condition `json:"condition"`
}

// claimsAnswer is the claims and how far they are judged.
type claimsAnswer struct {
	Model  string        `json:"model"`
	SeenNS unit.Time     `json:"seen_ns"`
	Seq    int64         `json:"seq"`
	Claims []state.Claim `json:"claims"`
}

func (s *Server) claims(w http.ResponseWriter, _ *http.Request) {
	now := s.moment()
	answer(w, http.StatusOK, claimsAnswer{now.Model, now.SeenNS, now.Seq, now.Claims})
}

// moment is the present moment with lists for all that is a list: who reads JSON
// must not find null where there is nothing. The state that was handed out stays
// as it is.
func (s *Server) moment() state.State {
	now := s.opt.State()
	now.Taps = append([]state.Tap{}, now.Taps...)
	for i := range now.Taps {
		t := &now.Taps[i]
		t.Refused, t.Channels = list(t.Refused), list(t.Channels)
		if t.Board != nil {
			b := *t.Board
			b.Outputs = list(b.Outputs)
			t.Board = &b
		}
	}
	now.Claims = append([]state.Claim{}, now.Claims...)
	for i := range now.Claims {
		now.Claims[i] = listed(now.Claims[i])
	}
	return now
}

// listed is a claim with lists for all that is a list.
func listed(c state.Claim) state.Claim {
	c.Evidence = list(c.Evidence)
	if c.Figures == nil {
		c.Figures = map[string]int64{}
	}
	return c
}

func list[T any](of []T) []T {
	if of == nil {
		return []T{}
	}
	return of
}

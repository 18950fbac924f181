package api

import (
	"net/http"

	"benchproof.example/monitor/state"
)

func (s *Server) sheet(w http.ResponseWriter, r *http.Request) {
	if s.opt.Sheet == nil {
		refuse(w, http.StatusNotFound, "this server has no sheet")
		return
	}
	answerShort(w, r, s.opt.Sheet)
}

// nextAnswer is what is to be done next.
type nextAnswer struct {
	Next []state.Next `json:"next"`
}

func (s *Server) next(w http.ResponseWriter, _ *http.Request) {
	now := s.opt.State()
	answer(w, http.StatusOK, s.nextOf(&now))
}

func (s *Server) nextOf(now *state.State) nextAnswer {
	if s.opt.Next == nil {
		return nextAnswer{[]state.Next{}}
	}
	return nextAnswer{list(s.opt.Next(now))}
}

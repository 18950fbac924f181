package api

import "net/http"

// drills answers with the drills that the sheet allows, and how far the one under way is: who
// joins in its middle knows what the others know.
func (s *Server) drills(w http.ResponseWriter, r *http.Request) {
	if s.opt.Drills == nil {
		refuse(w, http.StatusNotFound, "this server knows of no drills")
		return
	}
	now := s.opt.State()
	answerShort(w, r, s.opt.Drills.Show(&now))
}

// topicsAnswer is what can be named as changed.
type topicsAnswer struct {
	Topics []string `json:"topics"`
}

// topics answers with what can be named as changed, so that a page can offer it.
func (s *Server) topics(w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, topicsAnswer{list(s.opt.Topics)})
}

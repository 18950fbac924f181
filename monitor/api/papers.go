package api

import (
	"encoding/json"
	"net/http"

	"benchproof.example/monitor/event"
)

// papers takes an entry of the model's papers. One that says what was said before is no change:
// it is taken, and has no event.
func (s *Server) papers(w http.ResponseWriter, r *http.Request) {
	var body event.Paper
	if !readBody(w, r, &body) {
		return
	}
	if err := body.Check(); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return
	}
	data, err := json.Marshal(&body)
	if err != nil { // only a programming error can
		refuse(w, http.StatusInternalServerError, "the entry can't be put in: "+err.Error())
		return
	}
	s.put(w, r, event.InputPapers, data, []string{event.PapersChanged})
}

package api

import (
	"net/http"

	"benchproof.example/monitor/event"
)

// accepted says that an input was put in; the event it causes follows.
type accepted struct {
	Accepted bool `json:"accepted"`
}

// mark takes a dated remark.
func (s *Server) mark(w http.ResponseWriter, r *http.Request) {
	var body struct {
		Text *string `json:"text"`
	}
	if !readBody(w, r, &body) {
		return
	}
	if body.Text == nil {
		refuse(w, http.StatusBadRequest, `the body lacks "text", want {"text":"..."}`)
		return
	}
	s.put(w, event.InputMark, *body.Text)
}

// reopen takes what is to be seen anew.
func (s *Server) reopen(w http.ResponseWriter, r *http.Request) {
	var body struct {
		What *string `json:"what"`
	}
	if !readBody(w, r, &body) {
		return
	}
	if body.What == nil {
		refuse(w, http.StatusBadRequest, `the body lacks "what", want {"what":"..."}: a channel, failsafe or everything`)
		return
	}
	s.put(w, event.InputReopen, *body.What)
}

func (s *Server) put(w http.ResponseWriter, kind event.InputKind, text string) {
	if err := s.opt.Put(kind, []byte(text)); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return
	}
	answer(w, http.StatusAccepted, accepted{true})
}

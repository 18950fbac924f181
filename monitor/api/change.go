package api

import (
	"encoding/json"
	"net/http"

	"benchproof.example/monitor/event"
)

// accepted says that an input was put in. Seq is the number of the event that it caused:
// it is lacking where none did, or none did in time; then it follows. Recorded says that
// the input is on the disk; false: it was heard, and is not recorded, or not yet.
type accepted struct {
	Accepted bool  `json:"accepted"`
	Seq      int64 `json:"seq,omitempty"`
	Recorded bool  `json:"recorded"`
}

// markBody is a dated remark, or the number of one that is struck and, where somebody says
// so, why.
type markBody struct {
	Text    *string `json:"text,omitempty"`
	Strikes *int64  `json:"strikes,omitempty"`
}

// mark takes a dated remark, or strikes one.
func (s *Server) mark(w http.ResponseWriter, r *http.Request) {
	var body markBody
	if !readBody(w, r, &body) {
		return
	}
	switch {
	case body.Strikes != nil:
		s.strike(w, r, &body)
		return
	case body.Text == nil:
		refuse(w, http.StatusBadRequest, `the body lacks "text", want {"text":"..."}, or {"strikes":NUMBER} for a mark whose words are taken back`)
		return
	}
	if err := CheckText(*body.Text); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return
	}
	s.put(w, r, event.InputMark, []byte(*body.Text), []string{event.Mark})
}

// reopenBody says what is to be seen anew.
type reopenBody struct {
	What *string `json:"what"`
}

// reopen takes what is to be seen anew.
func (s *Server) reopen(w http.ResponseWriter, r *http.Request) {
	var body reopenBody
	if !readBody(w, r, &body) {
		return
	}
	if body.What == nil {
		refuse(w, http.StatusBadRequest, `the body lacks "what", want {"what":"..."}: a channel, failsafe, outputs or everything`)
		return
	}
	s.put(w, r, event.InputReopen, []byte(*body.What), []string{event.Reopened})
}

// drill takes a step of a drill. Whether it can be taken is judged with all else, so that
// a replay refuses the same.
func (s *Server) drill(w http.ResponseWriter, r *http.Request) {
	var step event.DrillStep
	if !readBody(w, r, &step) {
		return
	}
	if step.Drill == "" || step.Do == "" {
		refuse(w, http.StatusBadRequest, `the body lacks "drill" or "do", want {"drill":NAME,"do":"begin"}`)
		return
	}
	if err := checkWho(step.By); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return
	}
	data, err := json.Marshal(&step)
	if err != nil { // only a programming error can
		refuse(w, http.StatusInternalServerError, "the step can't be put in: "+err.Error())
		return
	}
	s.put(w, r, event.InputDrillStep, data, stepKinds[step.Do])
}

// put puts an input in and answers with what came of it.
func (s *Server) put(w http.ResponseWriter, r *http.Request, kind event.InputKind, data []byte, kinds []string) {
	if s.opt.Check != nil {
		if err := s.opt.Check(kind, data); err != nil {
			refuse(w, http.StatusUnprocessableEntity, err.Error())
			return
		}
	}
	input, o := s.outcomes.put(func() (int64, bool) { return s.opt.Put(kind, data) }, kinds)
	if o == nil {
		refuse(w, http.StatusServiceUnavailable, "it was not taken: the session is over, or too much waits to be judged")
		return
	}
	seq, recorded, refused := s.outcomes.await(r.Context(), input, o)
	if refused != "" {
		answer(w, http.StatusConflict, problem{Error: refused, Seq: seq})
		return
	}
	answer(w, http.StatusAccepted, accepted{Accepted: true, Seq: seq, Recorded: recorded})
}

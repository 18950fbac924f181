package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"unicode/utf8"

	"benchproof.example/monitor/draft/dialogue"
)

// maxDraftText is the length of what is answered in a draft, in characters.
const maxDraftText = 500

// hasDraft reports that there is a draft to speak of, or refuses.
func (s *Server) hasDraft(w http.ResponseWriter) bool {
	if s.opt.Draft == nil {
		refuse(w, http.StatusNotFound, "this session has a sheet: a sheet is drafted in one that listens without")
		return false
	}
	return true
}

// draft shows the draft as it is now.
func (s *Server) draft(w http.ResponseWriter, _ *http.Request) {
	if s.hasDraft(w) {
		answer(w, http.StatusOK, s.opt.Draft.Look())
	}
}

// draftStep takes a step of the draft, and answers with what became of it.
func (s *Server) draftStep(w http.ResponseWriter, r *http.Request) {
	if !s.hasDraft(w) {
		return
	}
	var step dialogue.Step
	if !readBody(w, r, &step) {
		return
	}
	switch long := utf8.RuneCountInString(step.Text); {
	case !step.Known():
		refuse(w, http.StatusBadRequest, `the body lacks "do", want {"do":"begin"}: begin, answer, skip, back, repeat or end`)
		return
	case long > maxDraftText:
		refuse(w, http.StatusUnprocessableEntity, fmt.Sprintf("the answer is too long: got %d characters, want at most %d", long, maxDraftText))
		return
	}
	now, err := s.opt.Draft.Do(r.Context(), step)
	if err != nil {
		refuse(w, http.StatusConflict, err.Error())
		return
	}
	answer(w, http.StatusOK, now)
}

// draftSheet gives the sheet of the draft that is complete, as text.
func (s *Server) draftSheet(w http.ResponseWriter, _ *http.Request) {
	if !s.hasDraft(w) {
		return
	}
	text := s.opt.Draft.Sheet()
	if text == nil {
		refuse(w, http.StatusNotFound, "no sheet was drafted yet")
		return
	}
	w.Header().Set("Content-Type", "application/yaml")
	_, _ = w.Write(text)
}

// draftChanges is closed with the next change of the draft; nil: there is no draft.
func (s *Server) draftChanges() <-chan struct{} {
	if s.opt.Draft == nil {
		return nil
	}
	return s.opt.Draft.Changed()
}

// tellDraft sends the draft to a viewer who has it as it was before.
func (s *Server) tellDraft(v *viewer) error {
	if s.opt.Draft == nil || s.opt.Draft.Version() == v.draft {
		return nil
	}
	now := s.opt.Draft.Look()
	v.draft = now.Version
	text, err := json.Marshal(&now)
	if err != nil { // only a programming error can
		return err
	}
	return v.send("draft", text)
}

package api

import (
	"encoding/json"
	"fmt"
	"net/http"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// strike takes that a mark is struck: it stays, struck through. The input names it by its date
// and its words, which a later judgement of the recording has too, whatever numbers it gives.
func (s *Server) strike(w http.ResponseWriter, r *http.Request, body *markBody) {
	struck, why, ok := event.StrikeData{}, "", false
	if body.Text != nil {
		why = *body.Text
	}
	if why != "" {
		if err := CheckText(why); err != nil {
			refuse(w, http.StatusUnprocessableEntity, err.Error())
			return
		}
	}
	line, err := s.line(r, *body.Strikes)
	if err != nil {
		s.refuseOlder(w, err)
		return
	}
	if struck, ok = markIn(line); !ok {
		refuse(w, http.StatusUnprocessableEntity, fmt.Sprintf("event %d is no mark, so there is nothing to strike: name the seq of a mark", *body.Strikes))
		return
	}
	struck.Why = why
	data, err := json.Marshal(&struck)
	if err != nil { // only a programming error can
		refuse(w, http.StatusInternalServerError, "the mark can't be struck: "+err.Error())
		return
	}
	s.put(w, r, event.InputStrike, data, []string{event.MarkStruck})
}

// line is the timeline line of a number; none where there is no such event.
func (s *Server) line(r *http.Request, seq int64) ([]byte, error) {
	if seq < 1 || s.ahead(seq) {
		return nil, nil
	}
	list, err := s.page(r.Context(), nil, seq-1, limits{events: 1, bytes: maxPage})
	if err != nil || len(list) == 0 || list[0].seq != seq {
		return nil, err
	}
	return list[0].line, nil
}

// markIn is the mark that a timeline line has, if it has one.
func markIn(line []byte) (event.StrikeData, bool) {
	var e struct {
		At   unit.Time      `json:"t_ns"`
		Kind string         `json:"kind"`
		Data event.MarkData `json:"data"`
	}
	if json.Unmarshal(line, &e) != nil || e.Kind != event.Mark {
		return event.StrikeData{}, false
	}
	return event.StrikeData{MarkNS: e.At, Text: e.Data.Text}, true
}

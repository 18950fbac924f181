package api

import (
	"fmt"
	"net/http"
	"strconv"
)

// timeline answers with lines of the journal.
func (s *Server) timeline(w http.ResponseWriter, r *http.Request) {
	p, err := readPlace(r.URL.RawQuery, "after", "limit")
	if err == nil {
		err = s.checkPlace(p)
	}
	if err != nil {
		refuse(w, http.StatusBadRequest, err.Error())
		return
	}
	list, err := s.page(r.Context(), nil, p.after, limits{events: p.limit, bytes: maxPage})
	if err != nil {
		s.refuseOlder(w, err)
		return
	}
	length := 0
	for _, e := range list {
		length += len(e.line)
	}
	w.Header().Set("Content-Type", "application/jsonl")
	w.Header().Set("Content-Length", strconv.Itoa(length))
	for _, e := range list {
		if _, err := w.Write(e.line); err != nil {
			return // the client is gone
		}
	}
}

func (s *Server) checkPlace(p place) error {
	if s.ahead(p.after) {
		return fmt.Errorf("got after %d, but the latest event of this session is %d: that number is from another session, begin anew", p.after, s.latest())
	}
	return nil
}

// refuseOlder says that older events can't be had, and which can.
func (s *Server) refuseOlder(w http.ResponseWriter, err error) {
	text := err.Error()
	if oldest, _, some := s.ring.span(); some {
		text += fmt.Sprintf("; events from %d on are in memory: ask with after=%d", oldest, oldest-1)
	}
	refuse(w, http.StatusServiceUnavailable, text)
}

package api

import "context"

// page gives events behind a number, oldest first; none if there are none yet.
// What memory holds comes from there and never waits for a disk. A number may be
// missing only if a disk did not answer for so long that memory ran over. room is
// an empty list that may be used for the answer.
func (s *Server) page(ctx context.Context, room []shownEvent, seq int64, most limits) ([]shownEvent, error) {
	recent, whole := s.ring.after(room, seq, most)
	if whole {
		return recent, nil
	}
	older, err := s.journal.after(ctx, seq, most)
	if err != nil || len(older) > 0 {
		return older, err
	}
	recent, _ = s.ring.after(room, seq, most)
	return recent, nil
}

// latest is the number of the latest event that can be known of.
func (s *Server) latest() int64 {
	_, shown, _ := s.ring.span()
	return max(shown, s.opt.State().Seq)
}

// ahead reports that a number is beyond all events of this session. Before the
// first event is shown nobody can tell: a session that is being resumed may have
// many.
func (s *Server) ahead(seq int64) bool {
	_, shown, some := s.ring.span()
	return some && seq > shown && seq > s.latest()
}

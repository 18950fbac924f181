package api

// Routes lists "METHOD path" of all that is served.
func (s *Server) Routes() (list []string) {
	for _, r := range s.routes() {
		if r.get != nil {
			list = append(list, "GET "+r.path)
		}
		if r.post != nil {
			list = append(list, "POST "+r.path)
		}
	}
	return list
}

// ReadPlace is readPlace, taken apart.
func ReadPlace(query string, allowed ...string) (after int64, given bool, limit int, err error) {
	p, err := readPlace(query, allowed...)
	return p.after, p.given, p.limit, err
}

// Streams is how many event streams are open.
func (s *Server) Streams() int { return len(s.streams) }

// Limits.
const (
	RingEvents = ringEvents
	MaxPage    = maxPage
)

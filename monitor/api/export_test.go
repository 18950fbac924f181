package api

import (
	"context"
	"reflect"
	"time"
)

// Routes lists "METHOD path" of all that is served.
func (s *Server) Routes() (list []string) {
	for _, r := range s.network.routes() {
		if r.get != nil {
			list = append(list, "GET "+r.path)
		}
		if r.post != nil {
			list = append(list, "POST "+r.path)
		}
	}
	return list
}

// OpenRoutes are the paths that are shown to whoever has no token, where reading needs it.
func (s *Server) OpenRoutes() (list []string) {
	for _, r := range s.network.routes() {
		if r.open {
			list = append(list, r.path)
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
func (s *Server) Streams() int { return len(s.network.streams) }

// Limits.
const (
	RingEvents = ringEvents
	MaxPage    = maxPage
)

// BodyTypes are the types of bodies that are the package's own, by their names in the
// description.
func BodyTypes() map[string]reflect.Type {
	return map[string]reflect.Type{
		"State": reflect.TypeFor[stateAnswer](), "Tap": reflect.TypeFor[tapAnswer](),
		"Error": reflect.TypeFor[problem](), "Accepted": reflect.TypeFor[accepted](), "Health": reflect.TypeFor[healthAnswer](),
		"Trouble": reflect.TypeFor[trouble](), "Claims": reflect.TypeFor[claimsAnswer](), "NextSteps": reflect.TypeFor[nextAnswer](),
		"MarkBody": reflect.TypeFor[markBody](), "ReopenBody": reflect.TypeFor[reopenBody](), "Topics": reflect.TypeFor[topicsAnswer](),
		"TokenBody": reflect.TypeFor[tokenBody](), "TiltBody": reflect.TypeFor[tiltBody](),
		"May": reflect.TypeFor[mayAnswer](), "Sessions": reflect.TypeFor[sessionsAnswer](), "PastSession": reflect.TypeFor[PastSession](),
	}
}

// OwnerStreams is how many of the owner's event streams are open.
func (s *Server) OwnerStreams() int { return len(s.socket.streams) }

// WaitWith has answers to wrong tokens wait by a function. It is for the time before Serve.
func (s *Server) WaitWith(wait func(context.Context, time.Duration)) { s.guesses.wait = wait }

// Limits of patience.
const (
	MostDelay       = mostDelay
	RefusedPatience = refusedPatience
)

// Delays are those of wrong tokens that come so long after one another.
func Delays(apart ...time.Duration) (list []time.Duration) {
	var g guesses
	at := time.Unix(0, 0)
	for _, d := range apart {
		at = at.Add(d)
		list = append(list, g.delay(at))
	}
	return list
}

// Package api shows a session over HTTP: metrics, health, state, claims, the
// timeline and its events as they come; and takes marks, reopenings and the steps of
// drills: over the network from who has the token, over the socket in the session's
// folder from the owner's programs (package client).
//
// It is a guest of the session. Nothing here waits for a port or judges, Publish
// never waits for a client, and what waits for a disk is only what asks for
// events older than those in memory. openapi.json describes what is answered.
package api

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// Options say what a server shows and to whom.
type Options struct {
	State   func() state.State // the present moment; must not block
	Metrics http.Handler       // answers /metrics; must not block
	// Journal opens timeline.jsonl for reading. It may hang. Nil: there is none,
	// and what is no longer in memory is gone.
	Journal func() (io.ReadSeekCloser, error)
	// Put takes an input: kind is event.InputMark or event.InputReopen, data its text, or
	// event.InputDrillStep, event.InputStrike or event.InputPapers, data its JSON. It gives the input's number, or says that it was
	// not taken, and must not block. Nil: this server only shows.
	Put   func(kind event.InputKind, data []byte) (input int64, taken bool)
	Check func(kind event.InputKind, data []byte) error // says in a sentence why an input makes no sense; nil: all do
	// Tilt takes sentences of a phone; nil: no phone is a tap. It must not block.
	Tilt func(sentences []byte) (taken bool)
	// Drills is the course of the session's drills; whoever shows it events gives them to it
	// before they are published. Nil: /api/drills is not there.
	Drills *course.Course
	Topics []string // what can be named as changed, see claim.Topics

	Sheet    *state.Sheet                    // that of the session; nil: there is none to show
	Traces   Traces                          // what moved; nil: nobody knows
	Headline func(*state.State) []state.Part // the present in words; nil: in none
	Next     func(*state.State) []state.Next // what is to be done next, by the verdicts; nil: nobody knows
	// Watched is told when somebody begins to look at the live page, and when nobody does any
	// more; nil: it makes no difference. It must not block.
	Watched func(bool)

	// Draft is the draft of a session that listens without a sheet; nil: this one has a sheet.
	Draft *dialogue.Dialogue

	// Past are the sessions beside this one; nil: there are none.
	Past Past

	Token     string // over the network, whoever has it may change things; "": nobody may
	ReadToken bool   // over the network, reading needs the token too; it wants one

	// Await has answers to a change wait for what comes of it, and streams for news; nil: by this
	// computer's clock.
	Await Await

	Hosts   []string    // further names that this server answers to
	Trouble func(error) // nil, or called with what goes wrong beside an answer; must not block
	// WrongTokens counts those that came in; nil: nobody wants to know how many.
	WrongTokens *atomic.Int64

	// Connections at a time over the network; 0 is 2000 or half of the descriptors that the system
	// grants, whichever is less: the rest is for ports and files.
	Connections int
	Streams     int // event streams of these at a time; 0 is 256
}

// Server answers over HTTP. Make one with New.
type Server struct {
	opt      Options
	hosts    map[string]bool
	ring     ring
	news     notifier
	pictures notifier
	present  present
	traces   traceNews
	journal  journal
	outcomes outcomes
	guesses  guesses
	listing  aside // of sessions
	making   aside // of reports
	network  *door
	socket   *door
}

// Limits.
const (
	defaultConnections = 2000
	defaultStreams     = 256
	// What the owner's programs may have: a drill takes two connections, one of them a
	// stream.
	ownerConnections = 64
	ownerStreams     = 32
	// spare connections are answered once and closed, so that somebody is still
	// answered while all others are kept open.
	spareConnections = 64
	maxHeader        = 16 << 10 // bytes
	maxBody          = 8 << 10  // bytes

	headerPatience = 10 * time.Second
	idlePatience   = 60 * time.Second
	bodyPatience   = 10 * time.Second
	// refusedPatience is for the rest of a body that nobody wants: who sent it as a whole still
	// gets its answer, and may keep the connection.
	refusedPatience = 250 * time.Millisecond
	writePatience   = 30 * time.Second       // for one answer
	endPatience     = 300 * time.Millisecond // the whole program ends within two seconds
)

// New makes a server; it starts nothing. An error says what is wrong with a
// token or a name.
func New(opt Options) (*Server, error) {
	if opt.Token != "" {
		if err := CheckToken(opt.Token); err != nil {
			return nil, err
		}
	}
	if opt.ReadToken && opt.Token == "" {
		return nil, errors.New("reading can't need a token while none is set")
	}
	hosts, err := ownNames(opt.Hosts)
	if err != nil {
		return nil, err
	}
	if opt.Connections <= 0 {
		opt.Connections = min(defaultConnections, descriptors()/2)
	}
	if opt.Streams <= 0 {
		opt.Streams = defaultStreams
	}
	if opt.Await == nil {
		opt.Await = awaitHere
	}
	if opt.WrongTokens == nil {
		opt.WrongTokens = new(atomic.Int64)
	}
	s := &Server{
		opt: opt, hosts: hosts, ring: newRing(), news: newNotifier(), pictures: newNotifier(),
		journal: newJournal(opt.Journal), outcomes: outcomes{waiting: map[int64]*outcome{}, wait: opt.Await},
		guesses: guesses{count: opt.WrongTokens, wait: waitFor}, listing: newAside(), making: newAside(),
	}
	s.network = newDoor(s, false, opt.Connections, opt.Streams)
	s.socket = newDoor(s, true, ownerConnections, ownerStreams)
	return s, nil
}

// Wake has streams of events look for news, as Serve does by itself.
func (s *Server) Wake() { s.news.wake() }

// Publish takes an event that is shown: its number and its journal line, with or
// without the newline. Numbers that do not rise are passed over. It waits for no
// client and keeps no part of line.
func (s *Server) Publish(seq int64, line []byte) {
	if s.ring.add(newEvent(seq, line)) {
		s.news.notify()
	}
}

// Pictured is told that State has something new. It waits for no client.
func (s *Server) Pictured() {
	s.present.news.Store(true)
	s.pictures.notify()
}

// Serve answers to the network on l until ctx is done, then ends streams and lets other
// answers come to their end. It closes l, and returns an error only if l fails. It is for
// one call.
func (s *Server) Serve(ctx context.Context, l net.Listener) error { return s.network.serve(ctx, l) }

// ServeOwner is Serve on a listener that only the owner's own programs can reach: it needs
// no token, and what a page of a browser asks to change is refused.
func (s *Server) ServeOwner(ctx context.Context, l net.Listener) error { return s.socket.serve(ctx, l) }

// OwnerHandler answers as ServeOwner does, without a listener.
func (s *Server) OwnerHandler() http.Handler { return s.socket.handler() }

// talk is where net/http writes its complaints, a line each.
type talk func(error)

// notTrusted is what a browser answers that does not know the authority of our certificate.
const notTrusted = "a browser that asked over HTTPS does not trust the certificate"

func (t talk) Write(line []byte) (int, error) {
	if sentence := complaint(strings.TrimSpace(string(line))); t != nil && sentence != "" {
		t(errors.New(sentence))
	}
	return len(line), nil
}

// complaint is what is said for a line of net/http. Whoever reaches the port can begin to
// encrypt and then not go on, as often as he likes: that is nobody's trouble.
func complaint(line string) string {
	if !strings.Contains(line, "TLS handshake error") {
		return "http: " + line
	}
	if strings.Contains(line, "remote error") && strings.Contains(line, "certificate") {
		return notTrusted
	}
	return ""
}

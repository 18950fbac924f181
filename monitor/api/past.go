package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"time"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Past has the sessions that lie beside this one. What it reads may hang; each of its
// functions is called once at a time, and ends early when the context is done.
type Past interface {
	// List gives sessions, the latest first, and how many more there are.
	List(ctx context.Context) (list []PastSession, more int, err error)
	// Report gives the bench report of one, as HTML. Errors wrap ErrNoSession where there is no
	// such session.
	Report(ctx context.Context, name string) ([]byte, error)
}

// ErrNoSession says that no session beside this one has a name.
var ErrNoSession = errors.New("no session beside this one has that name")

// PastSession is a session that lies beside this one, or this one.
type PastSession struct {
	Name     string              `json:"name"` // of its folder
	Model    string              `json:"model"`
	Begun    time.Time           `json:"begun"`
	LengthNS unit.Duration       `json:"length_ns,omitempty"` // not known where no record was made
	Count    *state.VerdictCount `json:"count,omitempty"`     // of claims by verdict; not known either
	Report   bool                `json:"report"`              // it has one: else it is made when it is asked for
	Running  bool                `json:"running"`             // it is this one
}

// sessionsAnswer is the sessions, the latest first.
type sessionsAnswer struct {
	Sessions []PastSession `json:"sessions"`
	More     int           `json:"more"` // so many, not listed
}

const (
	listPatience   = 10 * time.Second
	reportPatience = 2 * time.Minute
)

func (s *Server) sessions(w http.ResponseWriter, r *http.Request) {
	all := sessionsAnswer{Sessions: []PastSession{}}
	if s.opt.Past == nil {
		answer(w, http.StatusOK, all)
		return
	}
	found, err := inTime(r.Context(), s.listing, listPatience, func(ctx context.Context) (found sessionsAnswer, err error) {
		found.Sessions, found.More, err = s.opt.Past.List(ctx)
		return found, err
	})
	if err != nil {
		refuse(w, http.StatusServiceUnavailable, "the sessions can't be listed now: "+err.Error())
		return
	}
	found.Sessions = append(all.Sessions, found.Sessions...)
	answer(w, http.StatusOK, found)
}

func (s *Server) report(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	var html []byte
	err := ErrNoSession
	if s.opt.Past != nil {
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(turnPatience + reportPatience + writePatience))
		html, err = inTime(r.Context(), s.making, reportPatience, func(ctx context.Context) ([]byte, error) { return s.opt.Past.Report(ctx, name) })
	}
	switch {
	case errors.Is(err, ErrNoSession):
		refuse(w, http.StatusNotFound, fmt.Sprintf("%s: %v", shorten(name), ErrNoSession))
	case err != nil:
		refuse(w, http.StatusServiceUnavailable, "there is no report for now: "+err.Error())
	default:
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Content-Security-Policy", reportPolicy(html))
		_, _ = w.Write(html)
	}
}

// reportPolicy lets a report have the style sheets that stand in it and nothing else: whoever
// wrote it, it can't run, load or send anything. It is of this server's origin all the same: of
// another one the browser would not send the cookie when the report is loaded once more behind
// one of its own links.
func reportPolicy(html []byte) string {
	policy := "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-same-origin; style-src"
	for _, style := range styleSheet.FindAllSubmatch(html, mostStyles) {
		sum := sha256.Sum256(style[1])
		policy += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return policy
}

var styleSheet = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// mostStyles bounds the policy of a report that is none of ours, which has one.
const mostStyles = 4

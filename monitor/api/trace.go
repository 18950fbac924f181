package api

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// Traces are what moved, in columns: see package trace.
type Traces interface {
	// Span is a stretch. What is not in memory is read from the disk until ctx is done.
	Span(ctx context.Context, s trace.Span) (*trace.Answer, error)
	News() (*trace.Answer, bool) // what came since it was asked for last; must not block
	Skip()                       // leaves that out
}

const defaultColumns = 600

// trace answers with the columns of a stretch.
func (s *Server) trace(w http.ResponseWriter, r *http.Request) {
	span, err := readSpan(r.URL.RawQuery)
	switch {
	case err != nil:
		refuse(w, http.StatusBadRequest, err.Error())
		return
	case s.opt.Traces == nil:
		refuse(w, http.StatusNotFound, "this server has no traces")
		return
	}
	a, err := s.opt.Traces.Span(r.Context(), span)
	if err != nil {
		refuse(w, http.StatusServiceUnavailable, err.Error())
		return
	}
	answerShort(w, r, a)
}

// answerShort sends a value as JSON, compressed for who takes that.
func answerShort(w http.ResponseWriter, r *http.Request, v any) {
	body, err := json.Marshal(v)
	if err != nil { // only a programming error can
		refuse(w, http.StatusInternalServerError, "the answer can't be made: "+err.Error())
		return
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		_, _ = w.Write(append(body, '\n')) // fails only where the client is gone
		return
	}
	h.Set("Content-Encoding", "gzip")
	z, _ := gzip.NewWriterLevel(w, gzip.BestSpeed) // fails only at a level that there is not
	_, _ = z.Write(append(body, '\n'))
	_ = z.Close()
}

// readSpan reads a query of from_ns, to_ns and columns.
func readSpan(query string) (s trace.Span, err error) {
	values, err := url.ParseQuery(query)
	if err != nil {
		return s, fmt.Errorf("the query is not readable: %w", err)
	}
	read := map[string]int64{"columns": defaultColumns}
	names := []string{"from_ns", "to_ns", "columns"}
	for name, given := range values {
		if !slices.Contains(names, name) {
			return s, fmt.Errorf("got the parameter %q, want from_ns, to_ns and columns", shorten(name))
		}
		if len(given) > 1 {
			return s, fmt.Errorf("got %s %d times, want it once", name, len(given))
		}
		if read[name], err = strconv.ParseInt(given[0], 10, 64); err != nil {
			return s, fmt.Errorf("got %s %q, want a whole number", name, shorten(given[0]))
		}
	}
	for _, name := range names[:2] {
		if _, given := read[name]; !given {
			return s, fmt.Errorf("got no %s, want nanoseconds of bench time", name)
		}
	}
	s = trace.Span{From: unit.Time(read["from_ns"]), To: unit.Time(read["to_ns"]), Columns: int(read["columns"])}
	return s, s.Check()
}

// keptTraces is how many messages are kept for pages that are a little behind; one that is further
// behind sees what it lacks, and asks for it.
const keptTraces = 32

// traceNews hands columns on to all pages as they come, encoded once.
type traceNews struct {
	mu      sync.Mutex
	looking int
	count   int64    // of messages so far
	kept    [][]byte // the latest
}

// enter has a page get what comes from now on, and gives the number of the latest message.
func (n *traceNews) enter(t Traces) int64 {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.looking++; n.looking == 1 && t != nil {
		t.Skip()
	}
	return n.count
}

func (n *traceNews) leave() {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.looking--
}

// since are the messages behind a number, oldest first, and the number of the last.
func (n *traceNews) since(t Traces, number int64) ([][]byte, int64) {
	if t == nil {
		return nil, number
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	if a, some := t.News(); some {
		text, _ := json.Marshal(a) // of plain fields: it can't fail
		n.count++
		if n.kept = append(n.kept, text); len(n.kept) > keptTraces {
			n.kept = append(n.kept[:0:0], n.kept[1:]...)
		}
	}
	behind := min(n.count-number, int64(len(n.kept)))
	return n.kept[int64(len(n.kept))-behind:], n.count
}

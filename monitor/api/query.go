package api

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Limits of what one answer holds.
const (
	defaultLimit = 1000
	maxLimit     = 10_000
	maxPage      = 4 << 20 // bytes
)

// place is where in the timeline to begin, and how much is wanted.
type place struct {
	after int64
	given bool // after was given
	limit int
}

// readPlace reads a query of after and, where it is allowed, limit.
func readPlace(query string, allowed ...string) (place, error) {
	p := place{limit: defaultLimit}
	values, err := url.ParseQuery(query)
	if err != nil {
		return p, fmt.Errorf("the query is not readable: %w", err)
	}
	for name, given := range values {
		if !slices.Contains(allowed, name) {
			return p, fmt.Errorf("got the parameter %q, want %s", shorten(name), strings.Join(allowed, " and "))
		}
		if len(given) > 1 {
			return p, fmt.Errorf("got %s %d times, want it once", name, len(given))
		}
	}
	if text, ok := one(values, "after"); ok {
		p.given = true
		if p.after, err = readSeq("after", text); err != nil {
			return p, err
		}
	}
	if text, ok := one(values, "limit"); ok {
		if p.limit, err = readLimit(text); err != nil {
			return p, err
		}
	}
	return p, nil
}

func one(values url.Values, name string) (string, bool) {
	if given, ok := values[name]; ok {
		return given[0], true
	}
	return "", false
}

// readSeq reads the number of an event, 0 for before the first.
func readSeq(name, text string) (int64, error) {
	n, err := strconv.ParseUint(text, 10, 63)
	if err != nil {
		return 0, fmt.Errorf("got %s %q, want the number of an event, 0 or more", name, shorten(text))
	}
	return int64(n), nil
}

func readLimit(text string) (int, error) {
	n, err := strconv.ParseUint(text, 10, 31)
	if err != nil || n < 1 || n > maxLimit {
		return 0, fmt.Errorf("got limit %q, want 1 to %d", shorten(text), maxLimit)
	}
	return int(n), nil
}

// shorten keeps a sentence short that quotes what a client sent.
func shorten(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

// lastEventID is where a client that reconnects was. It goes before the query,
// which stays as it was at first.
func lastEventID(r *http.Request, p *place) error {
	text := r.Header.Get("Last-Event-ID")
	if text == "" {
		return nil
	}
	seq, err := readSeq("Last-Event-ID", text)
	p.after, p.given = seq, true
	return err
}

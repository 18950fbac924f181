package days

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/timeline"
)

// follows is a client that has Text, the events or all that the live page shows, streamed for For, and
// stops reading Count times.
const follows What = "somebody follows"

// streamDeadline is how long a client of a stream may not read, ns.
const streamDeadline = 10 * second

// eventsPath is the stream of events alone.
const eventsPath = "/api/events"

// mostUntold is for how long the live page may be told nothing, ns.
const mostUntold = second

// follower is a client of a stream.
type follower struct {
	life   *life
	header http.Header
	text   strings.Builder
	idle   int64 // until when it does not read
	told   int64 // when it was told something last
	most   int64 // for how long, while it read, it was told nothing
	broken bool  // it did not read for too long, or the life is over
}

// Header implements http.ResponseWriter.
func (f *follower) Header() http.Header { return f.header }

// WriteHeader implements http.ResponseWriter.
func (f *follower) WriteHeader(int) {}

// Flush implements http.Flusher.
func (f *follower) Flush() {}

// SetWriteDeadline is that of a connection; each write has the same.
func (f *follower) SetWriteDeadline(time.Time) error { return nil }

// Write implements http.ResponseWriter: it waits until the client reads.
func (f *follower) Write(p []byte) (int, error) {
	l := f.life
	gone := l.now + streamDeadline
	goesOn := l.sleep(l.now)
	for goesOn && l.now < min(f.idle, gone) {
		goesOn = l.sleep(min(f.idle, gone))
	}
	f.most, f.told = max(f.most, l.now-max(f.told, f.idle)), l.now
	if f.broken = f.broken || !goesOn || l.over || l.now < f.idle; f.broken {
		return 0, os.ErrDeadlineExceeded
	}
	return f.text.Write(p)
}

// follow has the events streamed from the latest on, and holds the stream to what was shown: each
// event once and in order, and all of them where the client reads and ends it.
func (d *day) follow(h *Happening, luck *rand.Rand) {
	l := d.life
	if l == nil || l.handler == nil || l.over || len(l.shown) == 0 {
		return
	}
	from := len(l.shown)
	latest, err := timeline.Parse([]byte(strings.TrimSuffix(l.shown[from-1], "\n")))
	if err != nil {
		d.failed = err
		return
	}
	ctx, goesAway := context.WithCancel(context.Background())
	defer goesAway()
	f := &follower{life: l, header: http.Header{}, told: d.now}
	d.start(nil, d.now+h.For, goesAway)
	for range h.Count {
		at, lasts := d.now+luck.Int64N(h.For), luck.Int64N(12*second)
		d.start(nil, at, func() { f.idle = max(f.idle, d.now+lasts) })
	}
	path := cmp.Or(h.Text, eventsPath)
	r := httptest.NewRequestWithContext(ctx, http.MethodGet, fmt.Sprintf("http://localhost%s?after=%d", path, latest.Seq), http.NoBody)
	l.handler.ServeHTTP(f, r)
	if err := f.check(l.shown[from:]); err != nil {
		d.failed = err
	}
	if f.most > mostUntold && path != eventsPath {
		d.failed = fmt.Errorf("a page that reads is told nothing for %v", time.Duration(f.most))
	}
}

// check holds what a stream gave to what was shown meanwhile.
func (f *follower) check(shown []string) error {
	var got []string
	named := false // it is no event of the timeline
	for line := range strings.Lines(f.text.String()) {
		data, is := strings.CutPrefix(line, "data: ")
		switch {
		case line == "\n":
			named = false
		case strings.HasPrefix(line, "event: "):
			named = true
		case is && !named:
			got = append(got, data)
		case is && !json.Valid([]byte(data)):
			return fmt.Errorf("a page is told what nobody reads: %.200q", data)
		}
	}
	if len(got) > len(shown) || !slices.Equal(got, shown[:len(got)]) || !f.broken && len(got) < len(shown) {
		return fmt.Errorf("a stream of events is not what was shown (broken off: %v): %w", f.broken, firstDifference(got, shown))
	}
	return nil
}

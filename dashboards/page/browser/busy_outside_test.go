//go:build outside && linux

package browser_test

import (
	_ "embed" // the bare page
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// What the page's main thread may take, as often as that of a bare page: what is wanted, and what
// fails here.
const wantedBusy, failedBusy = 3.0, 6.0

//go:embed testdata/bare_strip.js
var bareStrip []byte

// bareCanvas serves a page that draws what the same stream brings of what moved, on a bare canvas.
func bareCanvas(t *testing.T, d *daemon) string {
	to, err := url.Parse(d.url("/"))
	require.NoError(t, err)
	proxy := &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(to) }, FlushInterval: -1}
	mux := http.NewServeMux()
	mux.Handle("/api/", proxy)
	mux.HandleFunc("/favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write([]byte(`<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>bare</title><canvas></canvas><script src="/bare.js"></script></html>`))
	})
	mux.HandleFunc("/bare.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		_, _ = w.Write(bareStrip)
	})
	s := httptest.NewServer(mux)
	t.Cleanup(func() {
		s.CloseClientConnections()
		s.Close()
	})
	return s.URL
}

// watchedFor is how long both pages are looked at: the environment says more.
func watchedFor(t *testing.T) time.Duration { return timeBy(t, "BENCHPROOF_BUSY", 6*time.Second) }

// timeBy is how long something takes by a variable of the environment, if that is set.
func timeBy(t *testing.T, variable string, otherwise time.Duration) time.Duration {
	text := os.Getenv(variable)
	if text == "" {
		return otherwise
	}
	d, err := time.ParseDuration(text)
	require.NoError(t, err, variable)
	return d
}

// How busy the page's main thread is while all sixteen channels move, beside a page that draws the same
// points on a bare canvas in the same seconds.
func TestHowBusyThePageIs(t *testing.T) {
	x := newTransmitter(t, true)
	page := chromium.Open(t, x.daemon.url("/"))
	plain := chromium.Open(t, bareCanvas(t, x.daemon))
	for _, tab := range []*browser.Tab{page, plain} {
		tab.Size(browser.Laptop)
	}
	plain.Reload() // its canvas takes the size of the window
	plain.Holds("window.drawn > 20", 20*time.Second)
	ours, theirs := page.Busy(), plain.Busy()
	length := watchedFor(t)
	plain.Passes(length)
	ours, theirs = page.Busy()-ours, plain.Busy()-theirs
	t.Logf("in %v the page was busy for %.0f ms, a bare canvas for %.0f: %.1f times (wanted: %.0f)", length, ours*1000, theirs*1000, ours/theirs, wantedBusy)
	assert.Less(t, ours/theirs, failedBusy)
}

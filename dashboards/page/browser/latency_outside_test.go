//go:build outside && linux

package browser_test

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// What the way to the screen may take more than that of a bare page: what is wanted, and what fails
// here, where the computer may be busy with other things.
const (
	wantedMedian, failedMedian = 60 * time.Millisecond, 240 * time.Millisecond
	wantedWorst, failedWorst   = 150 * time.Millisecond, 900 * time.Millisecond
)

// barePage draws one number, and does nothing else.
const barePage = `<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>bare</title><p class="headline">0</p><script>
new EventSource("/numbers").onmessage = (e) => { document.querySelector(".headline").textContent = e.data; };
</script></html>`

// bare serves that page, and what is put into the channel to it.
func bare(t *testing.T, numbers <-chan string) string {
	mux := http.NewServeMux()
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write([]byte(barePage))
	})
	mux.HandleFunc("/favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("/numbers", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/event-stream")
		for {
			_ = http.NewResponseController(w).Flush()
			select {
			case <-r.Context().Done():
				return
			case n := <-numbers:
				_, _ = fmt.Fprintf(w, "data: %s\n\n", n)
			}
		}
	})
	s := httptest.NewServer(mux)
	t.Cleanup(func() {
		s.CloseClientConnections()
		s.Close()
	})
	return s.URL
}

// expects has the page look out for a text, and gives what waits until that is on the screen.
func expects(tab *browser.Tab, words string) (wait func() time.Time) {
	tab.Eval(fmt.Sprintf("rig.expect('.headline', %q)", words), nil)
	return func() time.Time {
		var ms float64
		tab.Eval("rig.expected", &ms)
		return time.UnixMicro(int64(ms * 1000))
	}
}

// throttleAt is what the page says of the throttle at so many counts.
func throttleAt(counts uint32) string {
	width := 988 + float64(int(counts)-172)*1024/1639
	return fmt.Sprintf("throttle %d µs", int(math.Round(width)))
}

// From the last byte of a frame until what it brought is on the screen, beside a bare page that draws a
// number which it is sent at that moment, in turn.
func TestTheWayToTheScreen(t *testing.T) {
	x := newTransmitter(t, false)
	numbers := make(chan string)
	plain := chromium.Open(t, bare(t, numbers))
	page := chromium.Open(t, x.daemon.url("/"))
	page.Shows(".headline", soon, throttleAt(192))

	times := 40
	if text := os.Getenv("BENCHPROOF_SCREENS"); text != "" {
		var err error
		times, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	var ours, theirs []time.Duration
	for n := range times {
		counts := uint32(400 + 16*(n%2) + 8*(n%80))
		wait := expects(page, throttleAt(counts))
		sent := x.puts(t, counts)
		ours = append(ours, wait().Sub(sent))

		words := throttleAt(counts)
		wait = expects(plain, words)
		sent = x.puts(t, counts) // the same again, so that both pages have as much to do
		select {
		case numbers <- words:
		case <-time.After(soon):
			require.Fail(t, "the bare page does not listen")
		}
		theirs = append(theirs, wait().Sub(sent))
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	median, worst := ours[times/2]-theirs[times/2], ours[times*99/100]-theirs[times*99/100]
	t.Logf("last byte to screen, %d times: the page median %v, p99 %v; a bare page %v, %v; more by %v (wanted: %v) and %v (wanted: %v)", times,
		ours[times/2].Round(time.Millisecond), ours[times*99/100].Round(time.Millisecond),
		theirs[times/2].Round(time.Millisecond), theirs[times*99/100].Round(time.Millisecond),
		median.Round(time.Millisecond), wantedMedian, worst.Round(time.Millisecond), wantedWorst)
	assert.Less(t, median, failedMedian)
	assert.Less(t, worst, failedWorst)
}

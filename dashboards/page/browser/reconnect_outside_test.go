//go:build outside && linux

package browser_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// unanswered is what a browser says on its console about a server that does not answer: the test's doing.
const unanswered = `net::ERR_|can.t establish a connection|was interrupted while the page was loading`

// lines are the numbers of the events that a page heard, each once, and their text.
func lines(t *testing.T, tab *browser.Tab) map[int64]string {
	var heard []string
	tab.Eval("rig.heard", &heard)
	all := map[int64]string{}
	for _, text := range heard {
		var line struct {
			Seq int64 `json:"seq"`
		}
		require.NoError(t, json.Unmarshal([]byte(text), &line), text)
		all[line.Seq] = text
	}
	return all
}

// upTo waits until a page has heard of an event.
func upTo(t *testing.T, tab *browser.Tab, seq int64) {
	t.Helper()
	tab.Holds("rig.heard.some((l) => JSON.parse(l).seq >= "+text(seq)+")", soon)
}

func text(n int64) string {
	b, _ := json.Marshal(n) // a number
	return string(b)
}

// latest is the number of the latest event.
func (d *daemon) latest(t *testing.T) int64 {
	var now struct {
		Seq int64 `json:"seq"`
	}
	require.NoError(t, json.Unmarshal(d.get(t, "/api/state"), &now))
	return now.Seq
}

// happens has something happen at the bench that makes events, and gives the number of the last.
func (d *daemon) happens(t *testing.T, lines ...string) int64 {
	t.Helper()
	before := d.latest(t)
	d.bench.do(t, lines...)
	require.Eventually(t, func() bool { return d.latest(t) > before }, 10*time.Second, 20*time.Millisecond, "nothing happened at %q", lines)
	return d.latest(t)
}

// A page whose way to the program breaks, once before anything happened in its sight and once behind
// it, has each event of the timeline in the end.
func TestNothingIsLostWhereTheWayBreaks(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		w := newWay(t, d.address)
		tab := b.Open(t, w.url("/"))
		tab.Forgive(unanswered)
		from := d.latest(t)
		upTo(t, tab, from)
		for range map[bool]int{true: 2, false: 1}[b == chromium] {
			w.breaks()
			tab.Shows("header", soon, "has not answered since")
			missed := d.happens(t, "aid first")
			w.mended()
			upTo(t, tab, missed)
			upTo(t, tab, d.happens(t, "aid second"))
		}
		d.lacksNothing(t, tab)
	})
}

// lacksNothing waits until a page has each event of the timeline as it is now, as it stands there. What is asked
// for on a connection that died is given up by the page behind 15 s.
func (d *daemon) lacksNothing(t *testing.T, tab *browser.Tab) {
	t.Helper()
	timeline := strings.Split(strings.TrimSpace(string(d.get(t, "/api/timeline?limit=10000"))), "\n")
	tab.Holds(fmt.Sprintf(`((all) => [...Array(%d)].every((_, i) => all.has(i + 1)))(new Set(rig.heard.map((l) => JSON.parse(l).seq)))`, len(timeline)), 2*soon)
	heard := lines(t, tab)
	for i, line := range timeline {
		assert.Equal(t, line, heard[int64(i+1)], "an event as the page heard of it")
	}
}

//go:build outside && linux

package browser_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// drawn is the picture of the traces, as a text.
func drawn(tab *browser.Tab) (picture string) {
	tab.Eval("document.querySelector('.strip canvas.traces').toDataURL()", &picture)
	return picture
}

// drawsAnew waits until the picture of the traces is another one.
func drawsAnew(tab *browser.Tab) {
	const picture = "document.querySelector('.strip canvas.traces').toDataURL()"
	tab.Do("rig.picture = " + picture)
	tab.Holds(picture+" !== rig.picture", soon)
}

// atCursor is what the strip says of the moment at its cursor.
func atCursor(tab *browser.Tab) (words string) {
	tab.Eval("document.querySelector('.strip-plot').getAttribute('aria-valuetext')", &words)
	return words
}

// The strip draws what moves, and a gap as a gap; it can be stopped, looked back in, and set going again.
func TestTheStrip(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		tab := b.Open(t, d.url("/"))
		tab.Size(browser.Laptop)
		tab.Holds("!!document.querySelector('.strip canvas.traces')", soon)
		d.bench.do(t, "stick elevator 1800 over 300ms", "aid first")
		tab.Shows(".headline", soon, "PLAIN")
		d.bench.do(t, "mute main for 2s")
		tab.Holds("!rig.text('.headline').includes('main live')", soon)
		tab.Shows(".headline", soon, "main live")
		d.bench.do(t, "release elevator", "aid second")
		tab.Shows(".headline", soon, "DAMPING")
		drawsAnew(tab)

		tab.Click("=Pause")
		tab.Shows(".strip", soon, "stopped at")
		still := drawn(tab)
		require.Eventually(t, func() bool {
			before := still
			tab.Passes(500 * time.Millisecond) // what was on its way comes still
			still = drawn(tab)
			return still == before
		}, soon, time.Millisecond, "it does not stop")

		tab.Do("document.querySelector('.strip-plot').focus()")
		gone := false
		for n := 0; n < 80 && !gone; n++ { // a tenth of a second each
			tab.Press("ArrowDown")
			gone = strings.Contains(atCursor(tab), "elevator not heard")
		}
		assert.True(t, gone, "nowhere in the silence is elevator told as not heard; at the end: %s", atCursor(tab))
		if b == chromium {
			tab.Accessible(t, "the strip", "")
			tab.Screens("strip")
			tab.Size(browser.Laptop)
		}
		tab.Click("=To now")
		tab.Shows(".strip", soon, "the last three minutes")
		drawsAnew(tab)
	})
}

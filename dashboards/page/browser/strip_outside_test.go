//go:build outside && linux

package browser_test

import (
	"testing"

	"benchproof.example/dashboards/page/browser"
)

// The strip draws what moves, and a gap as a gap; it can be stopped, looked back in, and set going again.
func TestTheStrip(t *testing.T) {
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, watching.url("/"))
		tab.Holds("!!document.querySelector('canvas')", soon)
		reedwing.do(t, "stick elevator 1800 over 300ms", "aid first")
		tab.Shows(".headline", soon, "PLAIN")
		reedwing.do(t, "mute main for 2s", "release elevator", "aid second")
		tab.Shows(".headline", soon, "SILENT")
		tab.Shows(".headline", soon, "main live")
		if b == chromium {
			tab.Screens("strip")
		}
	})
}

//go:build outside && linux

package browser_test

import (
	"fmt"
	"testing"

	"benchproof.example/dashboards/page/browser"
)

// The strip is stopped, read by keys, scrolled back through all of the session, and set going again; a
// table has the same in words.
func TestTheStripLooksBack(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, newMoving(t).url)
		tab.Forgive("404 \\(Not Found\\)") // there are no drills here
		said := func() (text string) {
			tab.Eval("document.querySelector('.strip-plot').getAttribute('aria-valuetext')", &text)
			return text
		}
		tab.Shows(".strip-state", soon, "the last three minutes")
		tab.Holds("/elevator 1\\d+/.test(document.querySelector('.strip-plot').getAttribute('aria-valuetext'))", soon)

		tab.Click("=Pause")
		tab.Shows(".strip-state", soon, "stopped at 6:")
		tab.Focus(".strip-plot", 20)
		tab.Press("PageUp", "PageUp", "ArrowLeft")
		tab.Shows(".strip-read", soon, "elevator 1")
		at := said()
		tab.Press("ArrowLeft", "ArrowLeft", "ArrowLeft", "ArrowLeft", "ArrowLeft")
		tab.Holds(fmt.Sprintf("document.querySelector('.strip-plot').getAttribute('aria-valuetext') !== %q", at), soon)

		tab.Do("const r = document.querySelector('.strip-all input'); r.value = 200; r.dispatchEvent(new Event('input'))")
		tab.Shows(".strip-state", soon, "stopped at 3:2")
		tab.Press("Home")
		tab.Holds("document.querySelector('.strip-plot').getAttribute('aria-valuetext').startsWith('0:00')", soon)
		tab.Holds("/elevator 1\\d+ µs/.test(document.querySelector('.strip-plot').getAttribute('aria-valuetext'))", soon)

		tab.Do("const r = document.querySelector('.strip-all input'); r.value = 240; r.dispatchEvent(new Event('input'))")
		tab.Click("=The last changes as a table")
		tab.Shows(".strip-table", soon, "aid from 1330 µs to 1640 µs", "mark: gust", "2:30.0")

		tab.Click("=To now")
		tab.Shows(".strip-state", soon, "the last three minutes")
		tab.Press("Space")
		if b == chromium {
			tab.Screens("strip-back")
		}
	})
}

// A hand that drags stops the strip and takes what it shows along.
func TestTheStripIsDragged(t *testing.T) {
	t.Parallel()
	tab := chromium.Open(t, newMoving(t).url)
	tab.Forgive("404 \\(Not Found\\)")
	tab.Shows(".strip-state", soon, "the last three minutes")
	tab.Holds("/elevator 1\\d+/.test(document.querySelector('.strip-plot').getAttribute('aria-valuetext'))", soon)
	tab.Do(`const plot = document.querySelector('.strip-plot'), box = plot.getBoundingClientRect();
		const hand = (kind, x) => plot.dispatchEvent(new PointerEvent(kind,
			{pointerId: 1, pointerType: 'touch', bubbles: true, clientX: box.left + x, clientY: box.top + 60}));
		plot.setPointerCapture = () => undefined;
		hand('pointerdown', 60); hand('pointermove', 120); hand('pointermove', 200); hand('pointerup', 200);`)
	tab.Shows(".strip-state", soon, "stopped at 4:")
}

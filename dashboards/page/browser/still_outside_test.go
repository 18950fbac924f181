//go:build outside && linux

package browser_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// shifts has the page take down what moves by itself, in the browser's own measure.
const shifts = `window.shifted = []; new PerformanceObserver((list) => {
  for (const s of list.getEntries()) if (!s.hadRecentInput) shifted.push({
    value: s.value, what: s.sources.map((x) => x.node?.nodeName + "." + (x.node?.className ?? "")).join(", ")});
}).observe({type: "layout-shift", buffered: true});`

// While the page fills in nothing moves that is there already.
func TestNothingMovesWhileThePageLoads(t *testing.T) {
	t.Parallel()
	for _, view := range []string{"", "#drill"} {
		for _, size := range browser.Sizes {
			tab := allowed(t, chromium, watching, view)
			tab.Size(size)
			tab.Before(shifts)
			tab.Reload()
			tab.Shows("header", soon, "asked for")
			tab.Passes(2 * time.Second)
			var moved []struct {
				Value float64
				What  string
			}
			tab.Eval("shifted", &moved)
			sum := 0.0
			for _, m := range moved {
				sum += m.Value
			}
			t.Logf("%q on a %s: %.4f %v", view, size.Name, sum, moved)
			assert.Less(t, sum, 0.01, "%q on a %s: %v", view, size.Name, moved)
		}
	}
}

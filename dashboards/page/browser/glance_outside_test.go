//go:build outside && linux

package browser_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// The line on top says what the switches ask for, and follows them; a tap whose plug comes out looks
// dead within a second, and so does one whose frames stop.
func TestAGlanceSaysWhatIsSo(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		tab := b.Open(t, d.url("/"))
		for _, c := range []struct{ place, mode string }{{"first", "PLAIN"}, {"fourth", "HOLD-COURSE"}, {"second", "DAMPING"}} {
			d.bench.do(t, "aid "+c.place)
			tab.Shows(".headline", soon, "main live", c.mode, "throttle 1000 µs", "gain 148")
		}
		if b == chromium {
			tab.Screens("glance")
		}

		var took []time.Duration
		for _, c := range [][2]string{{"mute main for 2s", ""}, {"unplug main", "plug main"}} {
			from := time.Now()
			d.bench.do(t, c[0])
			tab.Holds("!document.querySelector('.headline').innerText.includes('main live')", soon)
			took = append(took, time.Since(from))
			if b == chromium {
				tab.Picture("dead-tap-" + c[0][:4])
			}
			if c[1] != "" {
				d.bench.do(t, c[1])
			}
			tab.Shows(".headline", soon, "main live", "DAMPING")
		}
		t.Logf("behind silence it looked dead after %v, without its plug after %v", took[0].Round(time.Millisecond), took[1].Round(time.Millisecond))
		assert.Less(t, max(took[0], took[1]), deadAfter)
	})
}

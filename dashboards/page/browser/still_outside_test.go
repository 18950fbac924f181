//go:build outside && linux

package browser_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// stands has the page take down, at every picture, what of it is not where it was drawn first.
const stands = `window.moved = [];
(() => {
  const first = new Map();
  const name = (e) => e.tagName.toLowerCase() + (e.id ? "#" + e.id : "") + (e.className && typeof e.className === "string" ? "." + e.className : "");
  const look = () => {
    for (const e of document.querySelectorAll("header,nav,nav a,nav button,main h2,main input,main button")) {
      const b = e.getBoundingClientRect();
      if (b.width < 2 || b.height < 2) continue;
      const was = first.get(e);
      if (!was) first.set(e, {left: b.left, top: b.top});
      else if (Math.hypot(b.left - was.left, b.top - was.top) > 1) {
        moved.push(name(e) + " from " + Math.round(was.left) + "," + Math.round(was.top) + " to " + Math.round(b.left) + "," + Math.round(b.top));
        first.set(e, {left: b.left, top: b.top});
      }
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})();`

// While the page fills in, nothing moves that is there already; who has no token sees one view more.
func TestNothingMovesWhileThePageLoads(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		for _, tab := range []*browser.Tab{
			allowed(t, b, watching, ""), allowed(t, b, watching, "#drill"), b.Open(t, watching.url("/#access")),
		} {
			tab.Before(stands)
			for _, size := range browser.Sizes {
				tab.Size(size)
				tab.Reload()
				tab.Shows("header", soon, "asked for")
				tab.Passes(time.Second)
				var moved []string
				tab.Eval("moved", &moved)
				assert.Empty(t, moved, "on a %s: %s", size.Name, tab.Text("main h2"))
			}
		}
	})
}

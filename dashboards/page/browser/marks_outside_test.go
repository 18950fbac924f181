//go:build outside && linux

package browser_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// One touch sets a mark, from any view; it can be struck, and is never gone. Who has no token may look.
func TestMarks(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		looking := b.Open(t, d.url("/#marks"))
		tab := allowed(t, b, d, "")
		tab.Click("nav .mark")
		tab.Shows("nav", soon, "Marked")
		tab.Click("=Marks")
		tab.Shows(".marks", soon, "marked on the page")
		tab.Click(".marks input")
		tab.Type("tail up, by hand")
		tab.Press("Enter")
		tab.Shows(".marks", soon, "tail up, by hand")
		looking.Shows(".marks", soon, "tail up, by hand", "needs the token")

		tab.Click("=Strike the mark tail up, by hand")
		if b == chromium {
			tab.Accessible(t, "marks", "header")
			tab.Screens("marks")
		}
		tab.Click("=Strike it")
		for _, each := range []*browser.Tab{tab, looking} {
			each.Shows(".marks s", soon, "tail up, by hand")
		}
		tab.Reload()
		tab.Shows(".marks s", soon, "tail up, by hand")
		assert.Contains(t, string(d.get(t, "/api/timeline?limit=10000")), "tail up, by hand")
	})
}

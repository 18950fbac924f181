//go:build outside && linux

package browser_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// guarded is a program that shows its session to who has the token alone.
func guarded(t *testing.T) *daemon {
	d, err := reedwing.watch("reedwing-1400/guarded", "--sheet", reedwing.sheet, "--read-token")
	require.NoError(t, err)
	t.Cleanup(func() { d.end(os.Interrupt) })
	return d
}

// Where reading needs the token, the page shows nothing but a field for it, says that a wrong one
// is wrong, and then shows all.
func TestAVisitorTypesTheToken(t *testing.T) {
	d := guarded(t)
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, d.url("/"))
		tab.Forgive("401")
		tab.Shows("", soon, "for who has the token")
		assert.NotContains(t, tab.Text(""), "open")
		tab.Click("#token")
		tab.Type("wrong-wrong-wrong-wrong")
		tab.Press("Enter")
		tab.Shows(".access", soon, "That is not the token", "the answer to another wrong one takes")
		if b == chromium {
			tab.Accessible(t, "the field for the token", ".access")
			tab.Screens("token")
		}
		tab.Click("#token")
		tab.Type(token)
		tab.Press("Enter")
		tab.Shows("", soon, "open", "Sessions")
		tab.Reload()
		tab.Shows("", soon, "open", "Sessions")
		tab.Go(d.url("/#access"))
		tab.Shows(".access", soon, "You may look, and set marks")
	})
}

// The token that comes with the address is taken out of it at once, and lets in.
func TestTheTokenComesWithTheAddress(t *testing.T) {
	d := guarded(t)
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, d.url("/#token="+token))
		tab.Holds(`!location.href.includes("token")`, soon)
		tab.Shows("", soon, "open", "Sessions")
		var at string
		tab.Eval("location.href", &at)
		assert.Equal(t, d.url("/"), at)
		tab.Forgive("401")
		tab.Do(`location.hash = "#token=wrong-wrong-wrong-wrong"`)
		tab.Holds(`!location.href.includes("token=")`, soon)
		tab.Shows(".access", soon, "You may look, and set marks")
	})
}

// Who needs no token to look is told so, and may give it to do more.
func TestAVisitorLooks(t *testing.T) {
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, watching.url("/#access"))
		tab.Shows(".access", soon, "You may look. To set marks")
		tab.Click("#token")
		tab.Type(token)
		tab.Press("Enter")
		tab.Shows(".access", soon, "You may look, and set marks")
		if b == chromium {
			tab.Accessible(t, "what a visitor may do", ".access")
		}
	})
}

// Past sessions are listed, and the report of one is made and shown.
func TestPastSessions(t *testing.T) {
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, watching.url("/"))
		tab.Shows("", soon, "What next") // behind it nothing moves
		tab.Click("=Sessions")
		tab.Shows(".sessions", soon, "2026-05-02-110000", "This session: it still runs")
		const earlier = ".sessions-list li:last-child "
		tab.Click(earlier + "button")
		tab.Holds(`document.querySelector("`+earlier+`a[target=_blank]") !== null`, soon)
		if b == chromium {
			tab.Accessible(t, "past sessions", ".sessions")
			tab.Screens("sessions")
		}
		tab.Click("=Back to the sheet")
		tab.Shows("", soon, "open")
		tab.Forgive("favicon") // which a browser asks for, and the report's policy refuses
		tab.Go(watching.url("/sessions/2026-05-02-110000/report"))
		tab.Shows("", soon, "A bench report is evidence")
		var size string
		tab.Eval(`getComputedStyle(document.querySelector("svg.patterns")).position`, &size)
		assert.Equal(t, "absolute", size, "its own style is let in")
	})
}

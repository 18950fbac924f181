//go:build outside && linux

package browser_test

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// kept is all that a page could find of a token later.
const kept = `JSON.stringify([location.href, document.cookie, {...localStorage}, {...sessionStorage},
  performance.getEntriesByType("resource").map((e) => e.name)])`

// A token that comes with the address is taken out of it at once, is kept where no script finds it, and
// lets the page change things. A wrong one is refused with a sentence.
func TestATokenComesWithTheAddress(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, watching.url("/#token="+token))
		tab.Shows("nav .mark", soon, "Mark")
		var found string
		tab.Eval(kept, &found)
		assert.NotContains(t, found, token)
		tab.Reload()
		tab.Shows("nav .mark", soon, "Mark")

		other := b.Open(t, watching.url("/#access"))
		other.Forgive("401")
		other.Shows("main", soon, "You may look. To set marks")
		other.Click("#token")
		other.Type("not-the-token-at-all")
		other.Holds("document.querySelector('#token').value.length === 20", soon)
		other.Press("Enter")
		other.Shows("#token-said", soon, "not the token")
		if b == chromium {
			other.Accessible(t, "a wrong token", "header")
			other.Screens("token-wrong")
		}
		other.Click("#token")
		other.Type(token)
		other.Press("Enter")
		other.Shows("main", soon, "You may look, and set marks")
	})
}

// Where reading needs the token too, there is a door, and nothing of the session behind it.
func TestADoorBeforeReading(t *testing.T) {
	t.Parallel()
	x := newTransmitter(t, false, "--read-token")
	tab := chromium.Open(t, x.daemon.url("/"))
	tab.Forgive("401")
	tab.Shows("", soon, "for who has the token")
	assert.NotContains(t, tab.Text(""), "Reedwing")
	tab.Accessible(t, "the door", "")
	tab.Screens("door")
	tab.Click("#token")
	tab.Type(token)
	tab.Press("Enter")
	tab.Shows("", soon, "main live")
}

// elsewhere serves a page from another origin, until the test is over.
func elsewhere(t *testing.T, page []byte) string {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write(page)
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// A page of another server, in a browser that has the cookie, changes and reads nothing.
func TestAnotherSiteChangesNothing(t *testing.T) {
	t.Parallel()
	tab := allowed(t, chromium, watching, "")
	tab.Forgive(".") // what is refused stands on the console
	tab.Go(elsewhere(t, []byte(`<!DOCTYPE html><html lang="en"><title>elsewhere</title>`)))
	var read string
	tab.Eval(`(async () => {
  const to = "`+watching.url("")+`", text = JSON.stringify({text: "from elsewhere"});
  for (const type of ["text/plain", "application/json"]) for (const mode of ["no-cors", "cors"])
    await fetch(to + "/api/mark", {method: "POST", mode, credentials: "include", headers: {"Content-Type": type}, body: text}).catch(() => 0);
  return fetch(to + "/api/state", {credentials: "include"}).then((a) => a.text()).catch(() => "refused");
})()`, &read)
	assert.Equal(t, "refused", read)
	assert.NotContains(t, string(watching.get(t, "/api/timeline?limit=10000")), "from elsewhere")
}

//go:build outside && linux

package browser_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/dashboards/page/browser"
)

// faulty is a page in which whoever looks must find something: three faults of access, a colour that
// is readable but not at the bench, an inline handler and a message on the console.
const faulty = `<!DOCTYPE html><html><head><title>Faulty</title><style>
body { background: #fff; color: #000 } .pale { color: #bbb } .grey { color: #666 } button { width: 20px; height: 20px } .wide { width: 2000px }
</style></head><body><main><h1>Faulty</h1><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="><p class="pale">Hard to read</p>
<div id="read"><p class="grey">Readable</p></div><button id="small" onclick="document.title = 'pressed'">x</button><div class="wide">Wide</div>
<script src="/script.js"></script></main></body></html>`

const faultyScript = `console.error("as was to be shown"); document.getElementById("small").addEventListener("click", () => {
  document.querySelector(".pale").textContent = "Pressed"; speechSynthesis.speak(new SpeechSynthesisUtterance("aid to second"));
}); document.addEventListener("keydown", (e) => { document.querySelector(".grey").textContent += e.key; });`

func faultyPage(t *testing.T) string {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'unsafe-inline'; img-src data:")
		if r.URL.Path == "/script.js" {
			w.Header().Set("Content-Type", "text/javascript")
			_, _ = w.Write([]byte(faultyScript))
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write([]byte(faulty))
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// What the rig looks for it finds, where it is there.
func TestSeededFaultsAreFound(t *testing.T) {
	t.Parallel()
	url := faultyPage(t)
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, url)
		tab.Click("#small")
		tab.Shows("", time.Second, "Pressed")
		tab.Press("Shift+Tab", "Enter", "a")
		tab.Shows("#read", time.Second, "TabEntera")
		assert.Equal(t, []string{"aid to second"}, tab.Spoken())

		found := strings.Join(tab.Offences("#read"), "\n")
		for _, want := range []string{"html-has-lang", "image-alt", "color-contrast: ", "color-contrast-enhanced: ", ".pale"} {
			assert.Contains(t, found, want)
		}
		var small, wide []string
		tab.Eval("rig.small(44)", &small)
		assert.Equal(t, []string{`button "x" 20x20`}, small)
		tab.Eval("rig.wide()", &wide)
		assert.NotEmpty(t, wide)

		troubles := strings.Join(tab.Troubles(), "\n")
		assert.Contains(t, troubles, "as was to be shown")
		assert.Contains(t, troubles, "policy: script-src-attr refused inline")
		tab.Forgive(".")
	})
}

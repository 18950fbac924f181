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

// The policy of the page has no exception: text becomes no element, no script runs that is not ours,
// and nothing is asked of another server.
func TestThePolicyHasNoException(t *testing.T) {
	t.Parallel()
	got, err := client.Get(watching.url("/"))
	require.NoError(t, err)
	require.NoError(t, got.Body.Close())
	policy := got.Header.Get("Content-Security-Policy")
	for _, word := range []string{"unsafe", "*", "data:", "blob:", "http:", "nonce", "sha256"} {
		assert.NotContains(t, policy, word)
	}
	for _, want := range []string{
		"default-src 'none'", "script-src 'self'", "require-trusted-types-for 'script'", "frame-ancestors 'none'", "form-action 'none'",
	} {
		assert.Contains(t, policy, want)
	}
	both(t, func(t *testing.T, b *browser.Browser) {
		tab := b.Open(t, watching.url("/"))
		var refused string
		tab.Eval(`(() => { try { document.body.innerHTML = "<b>x</b>"; return "let in"; } catch (e) { return e.name; } })()`, &refused)
		assert.Equal(t, "TypeError", refused, "text as an element")
		tab.Do(`const s = document.createElement("script"); try { s.textContent = "window.intruder = true"; } catch {} document.head.append(s);
const i = document.createElement("img"); i.src = "http://192.0.2.1/x.png"; document.body.append(i);
await fetch("http://192.0.2.1/").catch(() => 0);`)
		tab.Holds("!window.intruder", time.Second)
		troubles := strings.Join(tab.Troubles(), "\n")
		assert.Contains(t, troubles, "img-src refused http://192.0.2.1/x.png")
		assert.Contains(t, troubles, "connect-src refused http://192.0.2.1/")
		tab.Forgive(".")
	})
}

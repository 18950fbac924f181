//go:build outside && linux

package browser_test

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// about is a device that is turned about its x axis, its top edge up by so many degrees.
func about(degrees float64) browser.Attitude {
	sin, cos := math.Sincos(degrees * math.Pi / 360)
	return browser.Attitude{W: cos, X: sin}
}

// A phone is laid on the model: its page asks for the sensors at a touch, sends over the program's own
// HTTPS, and what is tilted is seen; put away, it says so.
func TestAPhoneOnTheModelFeelsTheTilt(t *testing.T) {
	b, err := newBench("wing", "")
	require.NoError(t, err)
	t.Cleanup(b.stop)
	text, err := os.ReadFile(b.sheet)
	require.NoError(t, err)
	withPhone := strings.Replace(string(text), "taps:\n", "taps:\n  phone: {kind: tilt}\n", 1)
	require.NoError(t, os.WriteFile(b.sheet, []byte(withPhone), 0o600))
	t.Setenv("XDG_CONFIG_HOME", b.folder)
	d, err := b.watch("phone", "--sheet", b.sheet, "--tls")
	require.NoError(t, err)
	t.Cleanup(func() { d.end(os.Interrupt) })

	tab := chromium.Open(t, "about:blank")
	tab.Trusts()
	tab.Lies(about(0))
	tab.Go("https://" + d.address + "/#token=" + token)
	tab.Go("https://" + d.address + "/#phone")
	tab.Shows("main", soon, "This phone on the model", "Not heard")
	tab.Click("=Send how this phone lies")
	tab.Shows(".phone-state", soon, "Heard, and at rest", "not shown yet")
	tab.Accessible(t, "the phone", "")
	for _, degrees := range []float64{-6, -12, -18, -24, -30} { // a tail that is raised
		tab.Lies(about(degrees))
	}
	held := `fetch('/api/timeline').then((r) => r.text()).then((t) => t.split('\n').filter((l) => l.includes('"tilt.held"'))[0] ?? '')`
	var line string
	for until := time.Now().Add(soon); line == "" && time.Now().Before(until); tab.Eval(held, &line) {
		tab.Passes(200 * time.Millisecond)
	}
	assert.Contains(t, line, `"axis":"pitch"`)
	assert.Regexp(t, `"pitch_cdeg":-(29[5-9]|30[0-5])\d`, line)
	tab.Click("=Stop sending")
	tab.Shows(".phone-state", soon, "Asleep")
}

//go:build outside && linux

package browser_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Three pages look on while a switch goes through its places, and one of them is left open as the
// program ends. What the session's recording gives, judged again with nobody looking, is its
// timeline, byte for byte.
func TestPagesChangeNothing(t *testing.T) {
	t.Parallel()
	d := own(t, wrongThird)
	for range 2 {
		chromium.Open(t, d.url("/")).Forgive(unanswered)
	}
	other, err := firefox()
	require.NoError(t, err)
	tab := other.Open(t, d.url("/"))
	tab.Forgive(unanswered)
	upTo(t, tab, d.happens(t, "aid first"))
	upTo(t, tab, d.happens(t, "aid second"))

	d.end(os.Interrupt)
	program, err := built()
	require.NoError(t, err)
	again, err := exec.Command(program, "replay", d.session).Output()
	var failed *exec.ExitError
	if err != nil {
		require.ErrorAs(t, err, &failed)
		require.Equal(t, 1, failed.ExitCode(), "something is seen wrong at this bench: %s", failed.Stderr)
	}
	kept, err := os.ReadFile(filepath.Join(d.session, "timeline.jsonl"))
	require.NoError(t, err)
	was, is := strings.Split(string(kept), "\n"), strings.Split(string(again), "\n")
	for i, line := range was[:len(was)-1] { // behind them the replay has the claims
		assert.Equal(t, line, is[i])
	}
}

// A page on a phone whose clock is an hour off looks as any other.
func TestAClockThatIsOff(t *testing.T) {
	t.Parallel()
	tab := chromium.Open(t, "about:blank")
	tab.Before(`const shift = 3600e3, Was = Date; Date = class extends Was {
  constructor(...given) { if (given.length) super(...given); else super(Was.now() + shift); }
  static now() { return Was.now() + shift; } };`)
	tab.Go(watching.url("/"))
	tab.Shows("", soon, "open")
	var header string
	tab.Eval("document.querySelector('header').innerText", &header)
	assert.NotContains(t, header, "not answered")
	assert.NotContains(t, header, "ago")
}

//go:build outside && linux

package browser_test

import (
	"os"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// soon is how long a flow waits for what comes at once, on a computer that may be busy.
const soon = 30 * time.Second

// deadAfter is how long something that is to look dead within a second may take here. How long it took
// is printed.
const deadAfter = 3 * time.Second

// below is where the page goes on below the headline, in CSS pixels.
func below(tab *browser.Tab, size browser.Size) (top float64) {
	tab.Size(size)
	tab.Eval("document.querySelector('nav').getBoundingClientRect().top", &top)
	return top
}

// A program that stands still, and one that is gone, look so; the page goes on by itself where they do, and a keyboard
// keeps its place meanwhile. Nothing moves for it: a finger that is on its way meets what it aimed at.
func TestADeadProgramLooksDead(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		tab := b.Open(t, d.url("/"))
		tab.Forgive(unanswered)
		const alive, dead = "rig.shows('.headline', ['main live'])", "has not answered since"
		tab.Holds(alive, soon)
		before := map[browser.Size]float64{}
		for _, size := range browser.Sizes {
			before[size] = below(tab, size)
		}
		tab.Size(browser.Phone)
		const button = "=All that is so now"
		tab.Focus(button, 5)

		from := time.Now()
		require.NoError(t, d.cmd.Process.Signal(syscall.SIGSTOP))
		tab.Shows("header", soon, dead)
		stopped := time.Since(from)
		tab.Holds(`rig.focused("`+button+`")`, soon)
		for _, size := range browser.Sizes {
			assert.InDelta(t, before[size], below(tab, size), 1, "on a %s", size.Name)
		}
		if b == chromium {
			tab.Screens("dead-program")
		}
		require.NoError(t, d.cmd.Process.Signal(syscall.SIGCONT))
		tab.Holds(alive, soon)

		from = time.Now()
		d.end(os.Kill)
		tab.Shows("header", soon, dead)
		killed := time.Since(from)
		require.NoError(t, d.start())
		tab.Holds(alive, soon)
		t.Logf("it looked dead %v behind SIGSTOP, %v behind SIGKILL", stopped.Round(time.Millisecond), killed.Round(time.Millisecond))
		assert.Less(t, max(stopped, killed), deadAfter)
	})
}

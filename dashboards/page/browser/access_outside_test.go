//go:build outside && linux

package browser_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The page can be read and used by everybody.
func TestThePageIsAccessible(t *testing.T) {
	t.Parallel()
	tab := chromium.Open(t, watching.url("/"))
	tab.Shows("", soon, "open")
	tab.Accessible(t, "the sheet", "header")
	tab.Screens("sheet")
}

// A keyboard reaches all that can be pressed, in order, and one sees where it is.
func TestAKeyboardReachesAll(t *testing.T) {
	t.Parallel()
	tab := chromium.Open(t, watching.url("/"))
	tab.Shows("", soon, "open")
	unreached, unseen := map[int]string{}, map[string]bool{}
	tab.Eval("rig.pressable()", &unreached)
	for range 2*len(unreached) + 10 { // what scrolls is reached too
		tab.Press("Tab")
		var at struct {
			Number int
			Name   string
			Seen   bool
		}
		tab.Eval("rig.focus()", &at)
		if at.Number == 0 {
			break
		}
		if !at.Seen {
			unseen[at.Name] = true
		}
		delete(unreached, at.Number)
	}
	assert.Empty(t, unreached, "no keyboard gets there")
	assert.Empty(t, unseen, "one does not see that the keyboard is there")
}

//go:build outside && linux

package browser_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The page can be read and used by everybody.
func TestThePageIsAccessible(t *testing.T) {
	tab := chromium.Open(t, watching.url("/"))
	tab.Shows("", soon, "open")
	tab.Accessible(t, "the sheet", "header")
	tab.Screens("sheet")
}

// A keyboard reaches all that can be pressed, in order, and one sees where it is.
func TestAKeyboardReachesAll(t *testing.T) {
	tab := chromium.Open(t, watching.url("/"))
	tab.Shows("", soon, "open")
	var unreached []string
	tab.Eval("rig.pressable()", &unreached)
	unseen := map[string]bool{}
	for range len(unreached) + 5 {
		tab.Press("Tab")
		var at struct {
			Name string
			Seen bool
		}
		tab.Eval("rig.focus()", &at)
		if at.Name == "" {
			break
		}
		if !at.Seen {
			unseen[at.Name] = true
		}
		for i, name := range unreached {
			if name == at.Name {
				unreached = append(unreached[:i], unreached[i+1:]...)
				break
			}
		}
	}
	assert.Empty(t, unreached, "no keyboard gets there")
	assert.Empty(t, unseen, "one does not see that the keyboard is there")
}

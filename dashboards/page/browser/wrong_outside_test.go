//go:build outside && linux

package browser_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// allowed opens a view of the page for somebody who gave the token.
func allowed(t *testing.T, b *browser.Browser, d *daemon, view string) *browser.Tab {
	tab := b.Open(t, d.url("/"+view))
	tab.Do(`const a = await fetch("/api/token", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({token: "` + token + `"})});
if (!a.ok) throw new Error(await a.text());`)
	tab.Reload()
	return tab
}

// through takes the switch of the mode through places, as a hand does.
func through(t *testing.T, tab *browser.Tab, d *daemon, places ...string) {
	t.Helper()
	for _, place := range places {
		d.bench.do(t, "aid "+place)
		tab.Passes(600 * time.Millisecond)
	}
}

// goesOn has hands do something over and over until the page shows what comes of it: where this computer
// stood still meanwhile, the program settles nothing by what it read late.
func goesOn(t *testing.T, tab *browser.Tab, until string, hands func()) {
	t.Helper()
	for range 4 {
		hands()
		var so bool
		if tab.Eval(fmt.Sprintf("rig.holds(() => %s, 3000).then((took) => took >= 0)", until), &so); so {
			return
		}
	}
	tab.Holds(until, soon)
}

// claim is one as the program has it.
type claim struct {
	ID       string `json:"claim"`
	Verdict  string `json:"verdict"`
	Sentence string `json:"sentence"`
}

func (d *daemon) claims(t *testing.T) map[string]claim {
	t.Helper()
	var got struct {
		Claims []claim `json:"claims"`
	}
	require.NoError(t, json.Unmarshal(d.get(t, "/api/claims"), &got))
	all := map[string]claim{}
	for _, c := range got.Claims {
		all[c.ID] = c
	}
	return all
}

// wideInLargeLetters is what runs over to the right where letters are twice as large.
func wideInLargeLetters(tab *browser.Tab) (wide []string) {
	tab.Do("document.documentElement.style.fontSize = '200%'")
	tab.Eval("rig.wide()", &wide)
	tab.Do("document.documentElement.style.fontSize = ''")
	return wide
}

// What is seen wrong comes to the top in a sentence that says what to set; a touch leads to the line of
// the sheet and its evidence, and another has it seen anew.
func TestWhatIsWrongIsShown(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, wrongThird)
		tab := allowed(t, b, d, "")
		goesOn(t, tab, `rig.shows(".wrong-ones", ["seen wrong", "aid third", "1460"])`, func() {
			through(t, tab, d, "first", "third", "fourth", "third", "fourth", "first", "second", "third")
		})
		tab.Shows(".headline", soon, "WRONG")

		var wrong claim
		for _, c := range d.claims(t) {
			if c.Verdict == "seen wrong" && strings.HasPrefix(c.Sentence, "at aid third") {
				wrong = c
			}
		}
		require.NotEmpty(t, wrong.ID)
		tab.Shows(".wrong-ones", soon, wrong.Sentence)
		tab.Click("=seen wrong " + wrong.Sentence)
		tab.Shows(".evidence", soon, wrong.Sentence, "set", "Decided at")
		if b == chromium {
			tab.Accessible(t, "what is wrong", "header")
			tab.Screens("wrong")
			assert.Empty(t, wideInLargeLetters(tab))
		}

		d.bench.do(t, "aid second")
		tab.Shows(".headline", soon, "DAMPING")
		tab.Click("=Changed: see aid anew")
		tab.Holds("!document.querySelector('.wrong-ones')?.innerText.includes('aid third')", soon)
		assert.NotEqual(t, "seen wrong", d.claims(t)[wrong.ID].Verdict)
	})
}

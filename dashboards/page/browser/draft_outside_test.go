//go:build outside && linux

package browser_test

import (
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A sheet is drafted from the page: cautions first, then one question after the other, of which the wire
// answers what it can; broken off, it goes on.
func TestADraftFromThePage(t *testing.T) {
	t.Parallel()
	b, err := newBench("wing", "")
	require.NoError(t, err)
	d, err := b.watch("listening/drafted")
	require.NoError(t, err)
	t.Cleanup(func() {
		d.end(os.Interrupt)
		b.stop()
	})
	tab := allowed(t, chromium, d, "#draft")
	tab.Accessible(t, "before a draft", "header")
	tab.Screens("draft-begin")
	tab.Click("=Begin")
	tab.Shows("main", soon, "yes")
	tab.Screens("draft-cautions")
	answer := func(question, words string) {
		t.Helper()
		tab.Shows("main", soon, question)
		tab.Click("main form input")
		tab.Type(words)
		tab.Press("Enter")
	}
	choose := func(question, word string) {
		t.Helper()
		tab.Shows("main", soon, question)
		tab.Click("=" + word)
	}
	answer("yes", "yes")
	answer("What is the model called?", "Reedwing")
	choose("What has it to steer with?", "plain")
	choose("Is there a motor", "yes")
	tab.Accessible(t, "a question of the draft", "header")
	tab.Screens("draft-question")
	answer("starts limit learning", "14")
	choose("What is it on?", "momentary")
	for _, question := range []string{"At which width does it act", "How often must it be moved"} {
		tab.Shows("main", soon, question)
		tab.Click("=Enter alone")
	}
	choose("How many switches choose", "1")
	answer("How many places has", "4")
	tab.Shows("main", soon, "to its first place, then")
	tab.Screens("draft-wire")
	goesOn(t, tab, `rig.shows("main", ["mode is channel 7"])`, func() {
		b.do(t, "aid")
		tab.Passes(4 * time.Second) // a second at each place
	})
	tab.Click("=End")
	tab.Shows("main", soon, "broken off")
	tab.Click("=Go on")
	tab.Shows("main", soon, "yes")
}

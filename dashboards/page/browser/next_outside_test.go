//go:build outside && linux

package browser_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// step is one thing to do next.
type step struct {
	Do       string   `json:"do"`
	Drill    string   `json:"drill"`
	Claims   []string `json:"claims"`
	Settings []struct {
		Channel string `json:"channel"`
		Place   string `json:"place"`
	} `json:"settings"`
}

// Of what to do next the page has first what settles most; done at the bench, it goes from there, and
// its claims are settled.
func TestWhatNext(t *testing.T) {
	t.Parallel()
	d := own(t, wrongThird)
	d.bench.do(t, "aid second")
	tab := allowed(t, chromium, d, "")
	tab.Click(".next .more")
	tab.Do(`await fetch("/api/reopen", {method: "POST", headers: {"Content-Type": "application/json"}, body: '{"what": "aid"}'});`)
	var next struct {
		Next []step `json:"next"`
	}
	var put step
	require.Eventually(t, func() bool {
		require.NoError(t, json.Unmarshal(d.get(t, "/api/next"), &next))
		for _, s := range next.Next {
			if s.Drill == "" && len(s.Settings) == 1 && s.Settings[0].Channel == "aid" && s.Settings[0].Place != "third" {
				put = s
				return true
			}
		}
		return false
	}, soon, 50*time.Millisecond, "nothing can be put anywhere: %v", next)
	for i, s := range next.Next {
		require.LessOrEqual(t, len(s.Claims), len(next.Next[0].Claims), "step %d settles more than the first", i)
	}
	tab.Shows(".next li:first-child", soon, next.Next[0].Do, fmt.Sprintf("settles %d", len(next.Next[0].Claims)))
	tab.Shows(".next", soon, put.Do)
	tab.Screens("next")
	goesOn(t, tab, fmt.Sprintf("!rig.text('.next').includes(%q)", put.Do), func() {
		through(t, tab, d, "fourth", "second", put.Settings[0].Place, "second", put.Settings[0].Place)
	})
	for _, id := range put.Claims {
		require.NotEqual(t, "open", d.claims(t)[id].Verdict, id)
	}
}

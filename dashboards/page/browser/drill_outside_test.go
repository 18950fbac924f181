//go:build outside && linux

package browser_test

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
)

// drills are what the program says of them.
type drills struct {
	Running *struct {
		Drill     string `json:"drill"`
		Confirmed bool   `json:"confirmed"`
		Prompt    *struct {
			ID   string `json:"id"`
			Text string `json:"text"`
		} `json:"prompt"`
	} `json:"running"`
	Ended *struct {
		Drill string `json:"drill"`
		How   string `json:"how"`
	} `json:"ended"`
}

func drillsOf(t *testing.T, d *daemon) (now drills) {
	t.Helper()
	require.NoError(t, json.Unmarshal(d.get(t, "/api/drills"), &now))
	return now
}

// hands are those of somebody at the bench who follows what the page says.
func hands(t *testing.T) *operator.Operator {
	text, err := os.ReadFile(reedwing.sheet)
	require.NoError(t, err)
	s, err := sheet.Read("sheet", text)
	require.NoError(t, err)
	return &operator.Operator{Sheet: s, Rand: rand.New(rand.NewPCG(1, 2)), Bus: "main", Home: []string{"aid second", "stick strength 1485 over 300ms"}}
}

// begins leads a tab through a drill's cautions.
func begins(tab *browser.Tab, drill string) {
	tab.Click("=Begin " + drill)
	tab.Click("=To its cautions")
	tab.Shows("main", soon, "Before it begins, all of this must be so")
}

// The failsafe drill from the page, from its cautions to its result: prompts are shown and spoken, the
// key word fills the width, and what both hands are needed for asks for no touch.
func TestTheFailsafeDrill(t *testing.T) {
	t.Parallel()
	tab := allowed(t, chromium, watching, "#drill")
	looking := chromium.Open(t, watching.url("/"))
	tab.Shows("main", soon, "failsafe")
	tab.Accessible(t, "the list of drills", "header")
	tab.Screens("drills")
	begins(tab, "failsafe")
	tab.Accessible(t, "cautions", "header")
	tab.Screens("drill-cautions")
	tab.Click(".drill form input")
	tab.Type("yes")
	tab.Press("Enter")
	looking.Shows("nav", soon, "Drill failsafe is under way")

	h, followed, seen := hands(t), "", map[string]bool{}
	for until := time.Now().Add(90 * time.Second); ; {
		require.True(t, time.Now().Before(until), "it goes on for ever: %s", tab.Text(""))
		now := drillsOf(t, watching)
		if now.Running == nil {
			break
		}
		p := now.Running.Prompt
		if p == nil || p.ID == followed {
			tab.Passes(100 * time.Millisecond)
			continue
		}
		followed, seen[p.Text] = p.ID, true
		tab.Holds("!!document.querySelector('.key')", soon)
		var key struct{ Width, Page float64 }
		tab.Eval("({Width: document.querySelector('.key').getBoundingClientRect().width, Page: document.documentElement.clientWidth})", &key)
		assert.Greater(t, key.Width, 0.85*key.Page, "the key word of %s", p.ID)
		tab.Screens("drill-" + strings.ReplaceAll(p.ID, "/", "-"))
		follow(t, tab, h.Follow(p.ID))
	}
	tab.Shows("main", soon, "Drill failsafe finished", "Right now:", "Next:")
	tab.Accessible(t, "the result of a drill", "header")
	tab.Screens("drill-result")
	spoken := strings.Join(tab.Spoken(), "\n")
	for _, want := range []string{"Link lost", "The link is back", "Drill failsafe finished"} {
		assert.Contains(t, spoken, want)
	}
	assert.GreaterOrEqual(t, len(tab.Spoken()), len(seen)+3)
	assert.Empty(t, looking.Spoken(), "who only looks hears nothing unless it is wanted")
}

// follow has hands do what a prompt asks for, and touch the page where that is due.
func follow(t *testing.T, tab *browser.Tab, steps []operator.Step) {
	for _, s := range steps {
		tab.Passes(s.Wait)
		if s.Do != "" {
			reedwing.do(t, s.Do)
		}
		var offered bool
		tab.Eval(`!!rig.find("=Done")`, &offered)
		if s.Enter && offered {
			tab.Click("=Done")
		}
	}
}

// A drill that was begun belongs to nobody: another page goes on with it, and ends it.
func TestADrillIsTakenOverAndEnded(t *testing.T) {
	both(t, func(t *testing.T, b *browser.Browser) {
		first, other := allowed(t, b, watching, "#drill"), allowed(t, b, watching, "#drill")
		begins(first, "order")
		first.Click(".drill form input")
		first.Type("yes")
		first.Click("=It is so: begin")
		first.Holds("!!document.querySelector('.key')", soon)
		other.Click("=This drill was begun elsewhere")
		other.Click("=It is so: go on here")
		other.Shows("main", soon, "This tool can’t stop a motor")
		other.Click("=End drill")
		for _, each := range []*browser.Tab{first, other} {
			each.Shows("main", soon, "Drill order abandoned")
		}
	})
}

//go:build outside && linux

package browser_test

import (
	"encoding/json"
	"math/rand/v2"
	"net/http"
	"os"
	"slices"
	"strconv"
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
	Drills []struct {
		Prompts []struct {
			ID      string `json:"id"`
			Answers string `json:"answers"` // "builder": only who follows it can say that it is done
		} `json:"prompts"`
	} `json:"drills"`
	Running *struct {
		Prompt *struct {
			ID string `json:"id"`
		} `json:"prompt"`
	} `json:"running"`
}

func (d *daemon) drills(t *testing.T) (now drills) {
	t.Helper()
	require.NoError(t, json.Unmarshal(d.get(t, "/api/drills"), &now))
	return now
}

// hands are those of somebody at the bench who follows what the page says.
func (d *daemon) hands(t *testing.T) *operator.Operator {
	text, err := os.ReadFile(d.bench.sheet)
	require.NoError(t, err)
	s, err := sheet.Read("sheet", text)
	require.NoError(t, err)
	return &operator.Operator{Sheet: s, Rand: rand.New(rand.NewPCG(1, 2)), Bus: "main", Home: []string{"aid second", "stick strength 1485 over 300ms"}}
}

// begins leads a tab to a drill's cautions. Where the flow fails, the drill ends with it.
func begins(t *testing.T, tab *browser.Tab, d *daemon, drill string) {
	t.Cleanup(func() {
		ask, err := http.NewRequest(http.MethodPost, d.url("/api/drill"), strings.NewReader(`{"drill": "`+drill+`", "do": "abandon"}`))
		require.NoError(t, err)
		ask.Header.Set("Authorization", "Bearer "+token)
		ask.Header.Set("Content-Type", "application/json")
		answer, err := client.Do(ask)
		require.NoError(t, err)
		_ = answer.Body.Close() // most often it is over, and that is refused
	})
	tab.Click("=Begin " + drill)
	tab.Click("=To its cautions")
	tab.Shows("main", soon, "Before it begins, all of this must be so")
}

// confirms types that the cautions are heeded.
func confirms(tab *browser.Tab) {
	tab.Click(".drill form input")
	tab.Type("yes")
	tab.Click("=It is so: begin")
	tab.Holds("!!document.querySelector('.key')", soon)
}

// follows has hands do what the prompts ask for, one after the other, until the drill is over or the
// prompt stands that is named last; seen is called with each.
func follows(t *testing.T, tab *browser.Tab, d *daemon, last string, seen func(id string)) {
	h, latest, since := d.hands(t), "", time.Now()
	for until := time.Now().Add(100 * time.Second); latest != last; {
		require.True(t, time.Now().Before(until), "it goes on for ever: %s", tab.Text(""))
		now := d.drills(t).Running
		if now == nil {
			return
		}
		if now.Prompt == nil || now.Prompt.ID == latest {
			tab.Passes(100 * time.Millisecond)
			if now.Prompt != nil && time.Since(since) > unheard {
				follow(t, tab, d, again(h, latest))
				since = time.Now()
			}
			continue
		}
		latest, since = now.Prompt.ID, time.Now()
		seen(latest)
		steps := h.Follow(latest)
		follow(t, tab, d, steps)
		saysDone(t, tab, d, latest, steps)
	}
}

// unheard is how long hands wait for a drill to go on: it proves nothing by what this computer read late.
const unheard = 20 * time.Second

// again is what hands do once more for a prompt; the transmitter is switched off once it was on.
func again(h *operator.Operator, prompt string) []operator.Step {
	steps := h.Follow(prompt)
	if strings.HasSuffix(prompt, "/off") {
		steps = append([]operator.Step{{Do: "signal on"}, {Wait: 3 * time.Second}}, steps...)
	}
	return steps
}

// coveredWords are those of a prompt upon which something else lies, once they are scrolled to.
//
//nolint:misspell // words of the browser
func coveredWords(tab *browser.Tab) (words []string) {
	tab.Eval(`[...document.querySelectorAll(".prompt .key, .prompt p:not([hidden])")].filter((e) => {
  e.scrollIntoView({block: "center", behavior: "instant"});
  const box = e.getBoundingClientRect();
  return [0.1, 0.5, 0.9].some((part) => {
    const y = box.top + part * box.height;
    const top = y < 0 || y >= innerHeight ? e : document.elementFromPoint(box.left + box.width / 2, y);
    return !top || !(e.contains(top) || top.contains(e));
  });
}).map((e) => e.textContent.trim())`, &words)
	return words
}

// The failsafe drill from the page, from its cautions to the signal that is back: prompts are shown and
// spoken, and the key word fills the width.
func TestTheFailsafeDrill(t *testing.T) {
	t.Parallel()
	d := own(t, wrongThird)
	tab := allowed(t, chromium, d, "#drill")
	tab.Forgive("409") // hands may touch Done as the wire answers
	looking := chromium.Open(t, d.url("/"))
	tab.Shows("main", soon, "failsafe")
	tab.Accessible(t, "the list of drills", "header")
	tab.Screens("drills")
	begins(t, tab, d, "failsafe")
	tab.Accessible(t, "cautions", "header")
	tab.Screens("drill-cautions")
	confirms(tab)
	looking.Shows("nav", soon, "Drill failsafe is under way")
	prompts := 0
	follows(t, tab, d, "failsafe/later/wait", func(id string) {
		prompts++
		var key struct{ Width, Page float64 }
		tab.Eval("({Width: document.querySelector('.key').getBoundingClientRect().width, Page: document.documentElement.clientWidth})", &key)
		assert.Greater(t, key.Width, 0.85*key.Page, "the key word of %s", id)
		assert.Empty(t, coveredWords(tab), "%s on a phone", id)
		switch _, step, _ := strings.Cut(id, "/soon/"); step {
		case "away", "settle":
			tab.Screens("drill-" + step)
			for _, size := range browser.Sizes {
				tab.Size(size)
				tab.Do("document.documentElement.style.fontSize = '200%'")
				assert.Empty(t, coveredWords(tab), "%s on a %s, in large letters", id, size.Name)
				tab.Do("document.documentElement.style.fontSize = ''")
			}
			tab.Size(browser.Phone)
		}
	})
	tab.Click("=End drill")
	tab.Shows("main", soon, "Drill failsafe abandoned")
	tab.Accessible(t, "the result of a drill", "header")
	tab.Screens("drill-result")
	spoken := tab.Spoken()
	for _, want := range []string{"Link lost", "Drill failsafe abandoned"} {
		assert.Contains(t, strings.Join(spoken, "\n"), want)
	}
	assert.GreaterOrEqual(t, len(spoken), prompts+2)
	assert.Empty(t, looking.Spoken(), "who only looks hears nothing unless it is wanted")
}

// A short drill from its beginning to its result, in the other browser.
func TestADrillToItsResult(t *testing.T) {
	t.Parallel()
	b, err := firefox()
	require.NoError(t, err)
	d := own(t, wrongThird)
	tab := allowed(t, b, d, "#drill")
	begins(t, tab, d, "gain")
	confirms(tab)
	follows(t, tab, d, "none", func(string) {})
	tab.Shows("main", soon, "Drill gain finished", "Seen right by now", "Next:")
}

// follow has hands do what a prompt asks for, and touch the page where that is due.
func follow(t *testing.T, tab *browser.Tab, d *daemon, steps []operator.Step) {
	for _, s := range steps {
		tab.Passes(s.Wait)
		if s.Do != "" {
			d.bench.do(t, s.Do)
		}
		if s.Enter {
			touch(tab, "=Done")
		}
	}
}

// saysDone says that a prompt is done which only who follows it can say, where its steps did not.
func saysDone(t *testing.T, tab *browser.Tab, d *daemon, prompt string, steps []operator.Step) {
	if slices.ContainsFunc(steps, func(s operator.Step) bool { return s.Enter }) {
		return
	}
	for _, drill := range d.drills(t).Drills {
		for _, p := range drill.Prompts {
			if p.ID == prompt && p.Answers == "builder" {
				tab.Click(".drill .done")
			}
		}
	}
}

// touch presses what the page offers.
func touch(tab *browser.Tab, what string) {
	var offered bool
	if tab.Eval("!!rig.find("+strconv.Quote(what)+")", &offered); offered {
		tab.Click(what)
	}
}

// A drill that was begun belongs to nobody: another page goes on with it, and ends it.
func TestADrillIsTakenOverAndEnded(t *testing.T) {
	t.Parallel()
	d := own(t, "")
	first, other := allowed(t, chromium, d, "#drill"), allowed(t, chromium, d, "#drill")
	begins(t, first, d, "order")
	confirms(first)
	other.Click("=This drill was begun elsewhere")
	other.Click("=It is so: go on here")
	other.Shows("main", soon, "This tool can’t stop a motor")
	other.Click("=End drill")
	for _, each := range []*browser.Tab{first, other} {
		each.Shows("main", soon, "Drill order abandoned")
	}
}

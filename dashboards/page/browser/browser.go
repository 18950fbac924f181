// Package browser is for tests alone: it opens pages in real browsers, does there what a
// person does, and reads what they show. A Browser is Debian's chromium or Firefox ESR, started
// here with a profile of its own; a Tab is one page in it, with cookies of its own. What a page
// says on its console, and each violation of its policy, fails the test that opened it.
package browser

import (
	"context"
	_ "embed" // preload.js
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Browser is a browser that runs.
type Browser struct {
	Name    string // "chromium" or "firefox"
	profile string // its folder
	newTab  func(context.Context, func(trouble string)) (driver, error)
	stop    func()

	mu    sync.Mutex
	flows map[string]*flow // those that run, by the names of their tests
}

// driver is what a tab needs of its browser. Sizes and places are in CSS pixels.
type driver interface {
	open(ctx context.Context, url string) error
	reload(ctx context.Context) error
	preload(ctx context.Context, script string) error // before each page
	// eval is what an expression gives, as JSON; a promise is waited for.
	eval(ctx context.Context, expression string) (json.RawMessage, error)
	click(ctx context.Context, x, y float64) error
	press(ctx context.Context, key string) error // see keys
	resize(ctx context.Context, width, height int) error
	dark(ctx context.Context, on bool) error
	screenshot(ctx context.Context) ([]byte, error) // PNG
	close()
}

// program is the path of a browser, or how to get it.
func program(name, debian string) (string, error) {
	path, err := exec.LookPath(name)
	if err != nil {
		return "", fmt.Errorf("%s is missing: install it with 'make install' or 'apt-get install %s': %w", name, debian, err)
	}
	return path, nil
}

// newProfile is an empty folder for a browser that begins afresh.
func newProfile() (string, error) { return os.MkdirTemp("", "browser-") }

// Stop ends the browser and removes its profile.
func (b *Browser) Stop() {
	b.stop()
	for range 20 { // its last children may write there still
		if os.RemoveAll(b.profile) == nil {
			return
		}
	}
}

//go:embed preload.js
var preload string

// Tab is a page in a browser. What can't be done there fails its test.
type Tab struct {
	Browser *Browser
	t       testing.TB
	flow    *flow
	driver  driver

	mu       sync.Mutex
	troubles []string
	forgiven []*regexp.Regexp

	sensing bool // its device was given sensors
}

// Open shows a page in a new tab, of a phone's size, until the test is over; then it must have
// had no trouble.
func (b *Browser) Open(t testing.TB, url string) *Tab {
	t.Helper()
	tab := &Tab{Browser: b, t: t, flow: b.flowOf(t)}
	ctx, done := tab.flow.waitsFor("a new tab", patience)
	defer done()
	require.NoError(t, bounded(ctx, func() (err error) {
		tab.driver, err = b.newTab(ctx, tab.troubled)
		return err
	}), "%s opens no tab%s", b.Name, tab.flow.over())
	t.Cleanup(func() {
		ctx, done := context.WithTimeout(context.Background(), patience)
		defer done()
		assert.NoError(t, bounded(ctx, func() error {
			tab.driver.close()
			return nil
		}), "%s closes no tab", b.Name)
		assert.Empty(t, tab.Troubles(), "what the page said on its console, or was refused by its policy, in %s", b.Name)
	})
	tab.Before(preload)
	tab.Size(Phone)
	tab.Go(url)
	return tab
}

// does has the browser do one thing, named by what is waited for.
func (tab *Tab) does(what string, most time.Duration, do func(context.Context) error) {
	tab.t.Helper()
	ctx, done := tab.flow.waitsFor(what, most)
	defer done()
	if err := do(ctx); err != nil {
		tab.lost(fmt.Sprintf("%s: %v", what, err))
	}
}

// Go leads the tab to an address.
func (tab *Tab) Go(url string) {
	tab.t.Helper()
	tab.does("the page "+url, patience, func(ctx context.Context) error { return tab.driver.open(ctx, url) })
}

// Reload loads the page anew.
func (tab *Tab) Reload() {
	tab.t.Helper()
	tab.does("the page anew", patience, tab.driver.reload)
}

// Before has JavaScript run in each further page of the tab, before the page's own.
func (tab *Tab) Before(script string) {
	tab.t.Helper()
	tab.does("a script before each page", patience, func(ctx context.Context) error { return tab.driver.preload(ctx, script) })
}

// Eval reads into a value what an expression of JavaScript gives; a promise is waited for.
func (tab *Tab) Eval(expression string, into any) {
	tab.t.Helper()
	tab.does(shortened(expression), patience, func(ctx context.Context) error {
		text, err := tab.driver.eval(ctx, expression)
		if err != nil || into == nil {
			return err
		}
		if err := json.Unmarshal(text, into); err != nil {
			return fmt.Errorf("it gave %s: %w", text, err)
		}
		return nil
	})
}

// Do has JavaScript done whose value does not matter.
func (tab *Tab) Do(statement string) {
	tab.t.Helper()
	tab.Eval("(async () => {"+statement+"})().then(() => true)", nil)
}

// Holds waits until an expression of JavaScript is true, and gives how long that took in the page.
// A page that is looked at in vain is shown: its words, and a picture in the folder of pictures.
func (tab *Tab) Holds(expression string, most time.Duration) time.Duration {
	tab.t.Helper()
	ctx, done := tab.flow.waitsFor(shortened(expression), most+patience)
	defer done()
	from, took := time.Now(), -1.0
	for {
		text, err := tab.driver.eval(ctx, fmt.Sprintf("rig.holds(() => %s, %d)", expression, most.Milliseconds()))
		if err == nil {
			err = json.Unmarshal(text, &took)
		}
		if err == nil && took >= 0 {
			break
		}
		if err == nil || time.Since(from) > most || ctx.Err() != nil { // an error: the page was left meanwhile, for another one
			tab.lost(fmt.Sprintf("%s did not come within %v (%v)", shortened(expression), most, err))
		}
	}
	return time.Duration(took * float64(time.Millisecond))
}

// Passes lets the page go on by itself for a time.
func (tab *Tab) Passes(d time.Duration) {
	tab.t.Helper()
	tab.does(fmt.Sprintf("%v to pass", d), d+patience, func(ctx context.Context) error {
		_, err := tab.driver.eval(ctx, fmt.Sprintf("new Promise((r) => setTimeout(r, %d))", d.Milliseconds()))
		return err
	})
}

// Shows waits until an element, named as in Click, or "" for the page, shows each of these texts.
func (tab *Tab) Shows(where string, most time.Duration, texts ...string) time.Duration {
	tab.t.Helper()
	wanted, err := json.Marshal(texts)
	require.NoError(tab.t, err)
	return tab.Holds(fmt.Sprintf("rig.shows(%q, %s)", where, wanted), most)
}

// Text is what an element shows, named as in Click, "" for the page: white space is single.
func (tab *Tab) Text(where string) (text string) {
	tab.t.Helper()
	tab.Eval(fmt.Sprintf("rig.text(%q)", where), &text)
	return text
}

// Click presses an element with the pointer, once it is there, stands still and can be pressed: a selector of CSS, or
// "=NAME" for what has a name and can be pressed. What can't be pressed any more before it was, as while the program
// is silent, is waited for again. Something that lies over it fails the test.
func (tab *Tab) Click(what string) {
	tab.t.Helper()
	for until := time.Now().Add(patience); time.Now().Before(until); {
		tab.Holds(fmt.Sprintf("rig.ready(%q)", what), patience)
		if tab.ClickIfThere(what) {
			return
		}
	}
	tab.lost(what + " went away")
}

// aims is how often a pointer comes down at something that moves away from under it.
const aims = 5

// ClickIfThere is Click for what may be there no more, or not yet; it reports whether it was. Who finds
// the page moved on the way, and nothing pressed, aims again, as a hand does.
func (tab *Tab) ClickIfThere(what string) bool {
	tab.t.Helper()
	missed := "nothing"
	for range aims {
		var at struct {
			X, Y  float64
			There bool
			Wrong string
		}
		tab.Eval(fmt.Sprintf("rig.reach(%q)", what), &at)
		if at.Wrong != "" {
			tab.lost(at.Wrong)
		}
		if !at.There {
			return false
		}
		tab.does("a click at "+what, patience, func(ctx context.Context) error { return tab.driver.click(ctx, at.X, at.Y) })
		if missed = tab.missed(); missed != "nothing" {
			break
		}
	}
	if missed != "" {
		tab.lost("the page moves away under the pointer: instead of " + what + " it " + missed)
	}
	return true
}

// missed is what a click came down on instead: "" for what was aimed at, or where the page was left by it.
func (tab *Tab) missed() (instead string) {
	ctx, done := tab.flow.waitsFor("where the click came down", patience)
	defer done()
	text, err := tab.driver.eval(ctx, "rig.missed()")
	if err == nil {
		_ = json.Unmarshal(text, &instead) // a text, always
	}
	return instead
}

// Press presses keys one after the other: a sign as it is, or a name such as Tab, Shift+Tab, Enter.
func (tab *Tab) Press(names ...string) {
	tab.t.Helper()
	for _, name := range names {
		tab.does("the key "+name, patience, func(ctx context.Context) error { return tab.driver.press(ctx, name) })
	}
}

// Type presses the keys of a text.
func (tab *Tab) Type(text string) {
	tab.t.Helper()
	tab.Press(strings.Split(text, "")...)
}

// Focus presses Tab until an element, named as in Click, has the focus, and gives how often that
// was; after most times it fails.
func (tab *Tab) Focus(what string, most int) int {
	tab.t.Helper()
	for n := range most + 1 {
		var there bool
		if tab.Eval(fmt.Sprintf("rig.focused(%q)", what), &there); there {
			return n
		}
		tab.Press("Tab")
	}
	tab.lost(fmt.Sprintf("%s is not reached by %d times Tab", what, most))
	return 0
}

// Spoken is what the page has had the browser say, in order.
func (tab *Tab) Spoken() (texts []string) {
	tab.t.Helper()
	tab.Eval("rig.spoken.map(s => s.text)", &texts)
	return texts
}

// Forgive lets pass what a test brings about by itself, such as requests to a program that it ended.
func (tab *Tab) Forgive(trouble string) {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	tab.forgiven = append(tab.forgiven, regexp.MustCompile(trouble))
}

// troubled takes down a trouble; the browser calls it.
func (tab *Tab) troubled(trouble string) {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	tab.troubles = append(tab.troubles, trouble)
}

// Troubles are what the page said on its console and what its policy refused, less what is forgiven.
func (tab *Tab) Troubles() (left []string) {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	for _, trouble := range tab.troubles {
		pass := false
		for _, f := range tab.forgiven {
			pass = pass || f.MatchString(trouble)
		}
		if !pass {
			left = append(left, trouble)
		}
	}
	return left
}

// shortened is a text of at most 200 bytes.
func shortened(text string) string {
	if len(text) > 200 {
		return text[:200] + "..."
	}
	return text
}

package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Chromium starts Debian's chromium, without a window.
func Chromium() (*Browser, error) {
	path, err := program("chromium", "chromium")
	if err != nil {
		return nil, err
	}
	profile, err := newProfile()
	if err != nil {
		return nil, err
	}
	// Background networking is off by default. As root chromedp turns the sandbox off by itself.
	ctx, stop := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.UserDataDir(profile), chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-renderer-backgrounding", true), chromedp.Flag("disable-backgrounding-occluded-windows", true),
		chromedp.Flag("disable-background-timer-throttling", true), chromedp.Flag("disable-sync", true), chromedp.Flag("disable-extensions", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("force-color-profile", "srgb"), chromedp.Flag("password-store", "basic"),
		chromedp.Flag("hide-scrollbars", true), chromedp.Flag("mute-audio", true), chromedp.Flag("autoplay-policy", "no-user-gesture-required"))
	main, end := chromedp.NewContext(ctx)
	b := &Browser{Name: "chromium", profile: profile, stop: func() {
		ending, enough := context.WithTimeout(context.Background(), patience)
		defer enough()
		_ = bounded(ending, func() error { return chromedp.Cancel(main) })
		stop() // kills it where it did not end
		_ = bounded(ending, func() error {
			end()
			return nil
		})
	}}
	b.newTab = func(_ context.Context, troubled func(string)) (driver, error) { return newChromiumTab(main, troubled) }
	starting, done := context.WithTimeout(context.Background(), 6*patience)
	defer done()
	if err := bounded(starting, func() error { return chromedp.Do(main) }); err != nil {
		b.Stop()
		return nil, fmt.Errorf("chromium: %w", err)
	}
	return b, nil
}

// chromiumTab is a driver over the DevTools protocol.
type chromiumTab struct {
	ctx context.Context
	end context.CancelFunc
}

func newChromiumTab(browser context.Context, troubled func(string)) (driver, error) {
	// A browsing context of its own has its own cookies and its own window, which nothing covers.
	ctx, end := chromedp.NewContext(browser, chromedp.WithNewBrowserContext(), chromedp.WithNewWindow(true))
	tab := &chromiumTab{ctx, end}
	err := chromedp.Listen(ctx, func(ev any) {
		switch ev := ev.(type) {
		case *runtime.EventExceptionThrown:
			troubled("exception: " + exceptionText(ev.ExceptionDetails))
		case *runtime.EventConsoleAPICalled:
			if ev.Type == runtime.ConsoleAPICalledTypeError || ev.Type == runtime.ConsoleAPICalledTypeWarning {
				troubled("console: " + consoleText(ev.Args))
			}
		case *log.EventEntryAdded:
			if ev.Entry.Level == log.EntryLevelError || ev.Entry.Level == log.EntryLevelWarning {
				troubled(fmt.Sprintf("log: %s %s", ev.Entry.Text, ev.Entry.URL))
			}
		}
	})
	if err == nil {
		_, err = chromedp.Call(ctx, log.Enable, cdp.Empty{})
	}
	if err == nil {
		_, err = chromedp.Call(ctx, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	}
	if err != nil {
		tab.close()
		return nil, err
	}
	return tab, nil
}

func exceptionText(d *runtime.ExceptionDetails) string {
	text := d.Text
	if d.Exception != nil {
		text += " " + d.Exception.Description
	}
	return text
}

func consoleText(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		if a.Description != "" {
			words = append(words, a.Description)
			continue
		}
		words = append(words, strings.Trim(string(a.Value), `"`))
	}
	return strings.Join(words, " ")
}

// bounded is the tab's own context, ended where that of a call is.
func (c *chromiumTab) bounded(ctx context.Context) (context.Context, context.CancelFunc) {
	if deadline, ok := ctx.Deadline(); ok {
		return context.WithDeadline(c.ctx, deadline)
	}
	return context.WithCancel(c.ctx)
}

func (c *chromiumTab) do(ctx context.Context, steps ...chromedp.Action[chromedp.Void]) error {
	bounded, done := c.bounded(ctx)
	defer done()
	return chromedp.Do(bounded, steps...)
}

func (c *chromiumTab) open(ctx context.Context, url string) error {
	return c.do(ctx, chromedp.Navigate(url))
}

func (c *chromiumTab) reload(ctx context.Context) error { return c.do(ctx, chromedp.Reload()) }

func (c *chromiumTab) preload(ctx context.Context, script string) error {
	bounded, done := c.bounded(ctx)
	defer done()
	_, err := chromedp.Call(bounded, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	return err
}

func (c *chromiumTab) eval(ctx context.Context, expression string) (json.RawMessage, error) {
	bounded, done := c.bounded(ctx)
	defer done()
	text, err := chromedp.Run(bounded, chromedp.Evaluate[string](asJSON(expression), chromedp.EvalAwaitPromise))
	return json.RawMessage(text), err
}

// asJSON is an expression whose value is a promise of the JSON of another's, null for undefined.
func asJSON(expression string) string {
	return "(async () => JSON.stringify((await (" + expression + ")) ?? null))()"
}

func (c *chromiumTab) click(ctx context.Context, x, y float64) error {
	return c.do(ctx, chromedp.MouseClickXY(x, y))
}

func (c *chromiumTab) press(ctx context.Context, name string) error {
	key, shifted, err := keyOf(name)
	if err != nil {
		return err
	}
	var with []chromedp.KeyOption
	if shifted {
		with = append(with, chromedp.KeyModifiers(chromedp.ModifierShift))
	}
	return c.do(ctx, chromedp.KeyEvent(key.chromium, with...))
}

func (c *chromiumTab) resize(ctx context.Context, width, height int) error {
	return c.do(ctx, chromedp.EmulateViewport(int64(width), int64(height)))
}

func (c *chromiumTab) dark(ctx context.Context, on bool) error {
	bounded, done := c.bounded(ctx)
	defer done()
	scheme := map[bool]string{false: "light", true: "dark"}[on]
	_, err := chromedp.Call(bounded, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	return err
}

func (c *chromiumTab) screenshot(ctx context.Context) ([]byte, error) {
	bounded, done := c.bounded(ctx)
	defer done()
	return chromedp.Run(bounded, chromedp.CaptureScreenshot())
}

func (c *chromiumTab) close() { c.end() }

// Sleeps has the page stand still, as a phone's system has it that is put away, until it wakes it. Chromium alone does.
func (tab *Tab) Sleeps(yes bool) {
	tab.t.Helper()
	state := map[bool]page.SetWebLifecycleStateState{false: page.SetWebLifecycleStateStateActive, true: page.SetWebLifecycleStateStateFrozen}[yes]
	tab.does("the page to sleep or wake", patience, func(ctx context.Context) error {
		c, ok := tab.driver.(*chromiumTab)
		if !ok {
			return errors.New("only chromium puts a page to sleep")
		}
		bounded, done := c.bounded(ctx)
		defer done()
		_, err := chromedp.Call(bounded, page.SetWebLifecycleState, page.SetWebLifecycleStateParams{State: state})
		return err
	})
}

// Busy is how much of a processor the main thread of a page has taken since the tab was opened, s.
// Chromium alone tells.
func (tab *Tab) Busy() (seconds float64) {
	tab.t.Helper()
	tab.does("how busy the page is", patience, func(ctx context.Context) error {
		c, ok := tab.driver.(*chromiumTab)
		if !ok {
			return errors.New("only chromium tells how busy a page is")
		}
		bounded, done := c.bounded(ctx)
		defer done()
		got, err := chromedp.Call(bounded, performance.GetMetrics, cdp.Empty{})
		if err != nil {
			return err
		}
		for _, m := range got.Metrics {
			if m.Name == "TaskDuration" {
				seconds = m.Value
				return nil
			}
		}
		return errors.New("chromium tells no TaskDuration")
	})
	return seconds
}

package browser

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// preferences are those of a browser that asks nobody for anything, and is light.
const preferences = `user_pref("app.update.enabled", false);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("browser.startup.page", 0);
user_pref("browser.tabs.warnOnClose", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("extensions.update.enabled", false);
user_pref("layout.css.prefers-color-scheme.content-override", 1);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("services.settings.server", "data:,");
user_pref("toolkit.telemetry.enabled", false);
`

// Firefox starts Debian's Firefox ESR, without a window.
func Firefox() (*Browser, error) {
	path, err := program("firefox-esr", "firefox-esr")
	if err != nil {
		return nil, err
	}
	profile, err := newProfile()
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(preferences), 0o600); err != nil {
		return nil, err
	}
	cmd := exec.Command(path, "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port=0", "about:blank")
	cmd.Env = append(os.Environ(), "HOME="+profile)
	said, err := cmd.StderrPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	b := &Browser{Name: "firefox", profile: profile, stop: func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}}
	ctx, done := context.WithTimeout(context.Background(), 6*patience)
	defer done()
	session, err := connect(ctx, cmd, bufio.NewScanner(said))
	if err != nil {
		b.Stop()
		return nil, fmt.Errorf("firefox: %w", err)
	}
	b.newTab = func(ctx context.Context, troubled func(string)) (driver, error) {
		return newFirefoxTab(ctx, session, troubled)
	}
	return b, nil
}

// connect finds the address on stderr and begins a session.
func connect(ctx context.Context, cmd *exec.Cmd, said *bufio.Scanner) (*bidi, error) {
	address := ""
	stop := context.AfterFunc(ctx, func() { _ = cmd.Process.Kill() }) // ends the reading
	defer stop()
	for address == "" && said.Scan() {
		_, address, _ = strings.Cut(said.Text(), "WebDriver BiDi listening on ")
	}
	if address == "" {
		return nil, errors.New("it never said where it listens")
	}
	go func() {
		for said.Scan() { // what it says later nobody wants; a full pipe would hold it up
		}
	}()
	session, err := dial(ctx, address)
	if err != nil {
		return nil, err
	}
	if err := session.call(ctx, "session.new", map[string]any{"capabilities": map[string]any{}}, nil); err != nil {
		return nil, err
	}
	return session, session.call(ctx, "session.subscribe", map[string]any{"events": []string{"log.entryAdded"}}, nil)
}

// firefoxTab is a driver over WebDriver BiDi.
type firefoxTab struct {
	*bidi
	user, browsing string // contexts: the cookies, and the tab
}

func newFirefoxTab(ctx context.Context, session *bidi, troubled func(string)) (driver, error) {
	tab := &firefoxTab{bidi: session}
	var made struct {
		UserContext string `json:"userContext"`
		Context     string `json:"context"`
	}
	if err := session.call(ctx, "browser.createUserContext", map[string]any{}, &made); err != nil {
		return nil, err
	}
	tab.user = made.UserContext
	if err := session.call(ctx, "browsingContext.create", map[string]any{"type": "window", "userContext": tab.user}, &made); err != nil {
		return nil, err
	}
	tab.browsing = made.Context
	session.listen(tab.browsing, func(e logEntry) {
		if e.Level == "error" || e.Level == "warn" {
			troubled("console: " + e.Text)
		}
	})
	return tab, nil
}

func (f *firefoxTab) open(ctx context.Context, url string) error {
	return f.call(ctx, "browsingContext.navigate", map[string]any{"context": f.browsing, "url": url, "wait": "complete"}, nil)
}

func (f *firefoxTab) reload(ctx context.Context) error {
	return f.call(ctx, "browsingContext.reload", map[string]any{"context": f.browsing, "wait": "complete"}, nil)
}

func (f *firefoxTab) preload(ctx context.Context, script string) error {
	return f.call(ctx, "script.addPreloadScript", map[string]any{
		"functionDeclaration": "() => {" + script + "}", "contexts": []string{f.browsing},
	}, nil)
}

func (f *firefoxTab) eval(ctx context.Context, expression string) (json.RawMessage, error) {
	var got struct {
		Type   string `json:"type"`
		Result struct {
			Value string `json:"value"`
		} `json:"result"`
		ExceptionDetails struct {
			Text string `json:"text"`
		} `json:"exceptionDetails"`
	}
	err := f.call(ctx, "script.evaluate", map[string]any{
		"expression": asJSON(expression), "target": map[string]any{"context": f.browsing}, "awaitPromise": true,
	}, &got)
	if err == nil && got.Type != "success" {
		err = errors.New(got.ExceptionDetails.Text)
	}
	return json.RawMessage(got.Result.Value), err
}

// act performs actions of one input device.
func (f *firefoxTab) act(ctx context.Context, device map[string]any) error {
	return f.call(ctx, "input.performActions", map[string]any{"context": f.browsing, "actions": []any{device}}, nil)
}

func (f *firefoxTab) click(ctx context.Context, x, y float64) error {
	return f.act(ctx, map[string]any{"type": "pointer", "id": "mouse", "actions": []any{
		map[string]any{"type": "pointerMove", "x": int(x), "y": int(y)},
		map[string]any{"type": "pointerDown", "button": 0},
		map[string]any{"type": "pointerUp", "button": 0},
	}})
}

func (f *firefoxTab) press(ctx context.Context, name string) error {
	key, shifted, err := keyOf(name)
	if err != nil {
		return err
	}
	steps := []any{map[string]any{"type": "keyDown", "value": key.webdriver}, map[string]any{"type": "keyUp", "value": key.webdriver}}
	if shifted {
		steps = append(append([]any{map[string]any{"type": "keyDown", "value": webdriverShift}}, steps...), map[string]any{"type": "keyUp", "value": webdriverShift})
	}
	return f.act(ctx, map[string]any{"type": "key", "id": "keyboard", "actions": steps})
}

func (f *firefoxTab) resize(ctx context.Context, width, height int) error {
	return f.call(ctx, "browsingContext.setViewport", map[string]any{"context": f.browsing, "viewport": map[string]any{"width": width, "height": height}}, nil)
}

// dark is for chromium: this browser is light, by its preferences.
func (f *firefoxTab) dark(_ context.Context, on bool) error {
	if on {
		return errors.New("firefox is light")
	}
	return nil
}

func (f *firefoxTab) screenshot(ctx context.Context) ([]byte, error) {
	var got struct {
		Data string `json:"data"`
	}
	if err := f.call(ctx, "browsingContext.captureScreenshot", map[string]any{"context": f.browsing}, &got); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(got.Data)
}

func (f *firefoxTab) close() {
	ctx, done := context.WithTimeout(context.Background(), patience)
	defer done()
	f.listen(f.browsing, nil)
	_ = f.call(ctx, "browser.removeUserContext", map[string]any{"userContext": f.user}, nil)
}

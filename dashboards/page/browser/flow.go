package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Bound is how long a flow may take in one browser, from its first tab on. A flow takes seconds; this
// is for a computer that has ten other things to do. What is not over by then fails, and says what it
// waited for.
const Bound = 2 * time.Minute

// patience is how long a browser may take for one thing.
const patience = 20 * time.Second

// flow is what one test does in a browser: all of its tabs have one bound.
type flow struct {
	ctx   context.Context
	began time.Time
	bound time.Duration

	mu    sync.Mutex
	waits string // for what, last
}

// flowOf is the flow of a test, which begins with its first tab and ends with the test.
func (b *Browser) flowOf(t testing.TB) *flow { return b.begins(t, Bound) }

// Allow gives the flow of a test, which is to begin, so much more time than others have.
func (b *Browser) Allow(t testing.TB, more time.Duration) { b.begins(t, Bound+more) }

func (b *Browser) begins(t testing.TB, bound time.Duration) *flow {
	b.mu.Lock()
	defer b.mu.Unlock()
	if f := b.flows[t.Name()]; f != nil {
		return f
	}
	ctx, end := context.WithTimeout(context.WithoutCancel(t.Context()), bound)
	f := &flow{ctx: ctx, began: time.Now(), bound: bound}
	if b.flows == nil {
		b.flows = map[string]*flow{}
	}
	b.flows[t.Name()] = f
	t.Cleanup(func() {
		end()
		b.mu.Lock()
		defer b.mu.Unlock()
		delete(b.flows, t.Name())
	})
	return f
}

// waitsFor takes down what the flow waits for, and gives a context for that: it ends with the flow's
// bound at the latest.
func (f *flow) waitsFor(what string, most time.Duration) (context.Context, context.CancelFunc) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.waits = what
	return context.WithTimeout(f.ctx, most)
}

// over is what is said of a flow whose bound is over; "" of others.
func (f *flow) over() string {
	if f.ctx.Err() == nil {
		return ""
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return fmt.Sprintf("; the flow was to be over in %v, last it waited for %s", f.bound, f.waits)
}

// bounded does what has no bound of its own, and waits for it as long as a context lasts.
func bounded(ctx context.Context, do func() error) error {
	done := make(chan error, 1)
	go func() { done <- do() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// lost fails the test with what its tab was to do, how far the flow is, and what the page shows: its
// words, and a picture in the folder of pictures.
func (tab *Tab) lost(why string) {
	tab.t.Helper()
	over := tab.flow.over()
	ctx, done := context.WithTimeout(context.Background(), patience) // the flow's own may be over
	defer done()
	text, err := tab.driver.eval(ctx, `rig.text("")`)
	if err != nil {
		text = []byte(err.Error())
	}
	file := "none"
	if png, err := tab.driver.screenshot(ctx); err == nil {
		file = KeepLost(tab.t, "png", png)
	}
	require.Fail(tab.t, why, "%s, %v into its flow%s; picture: %s; the page shows %s",
		tab.Browser.Name, time.Since(tab.flow.began).Round(time.Millisecond), over, file, text)
}

// KeepLost keeps what tells of a flow that failed, in the folder of pictures, by the flow's name: the file.
func KeepLost(t testing.TB, ending string, text []byte) string {
	file := filepath.Join(screenFolder(t), "lost-"+strings.NewReplacer("/", "-", " ", "-").Replace(t.Name())+"."+ending)
	if err := os.WriteFile(file, text, 0o600); err != nil {
		return err.Error()
	}
	return file
}

//go:build outside && linux

package browser_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime/pprof"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// What all flows share; each starts once.
var (
	chromium *browser.Browser
	reedwing *bench  // all is well there
	watching *daemon // watches it, with an earlier session beside its own; a flow that changes either has its own
)

// firefox starts when a flow first needs it; begun is it then.
var (
	firefox = sync.OnceValues(func() (*browser.Browser, error) {
		b, err := browser.Firefox()
		begun = b
		return b, err
	})
	begun *browser.Browser
)

// wrongThird is what is wrong at some benches: the third place of aid lands where another mode is asked for.
const wrongThird = "fault lands aid third 1460"

// sideBySide is how many flows run at a time. Most of what a flow takes it waits, for hands and for wires.
const sideBySide = "3"

func TestMain(m *testing.M) {
	flag.Parse()
	time.AfterFunc(longest, stuck)
	err := errors.Join(flag.Set("test.parallel", sideBySide), begin())
	code := 1
	if err == nil {
		code = m.Run()
	}
	err = errors.Join(err, finish())
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// longest is how long all flows may take together; each has a bound of its own, so this is for what has none.
const longest = 20 * time.Minute

// stuck tells where everything stands, and ends it all.
func stuck() {
	fmt.Fprintf(os.Stderr, "the flows were to be over in %v\n", longest)
	_ = pprof.Lookup("goroutine").WriteTo(os.Stderr, 1)
	_ = finish()
	os.Exit(1)
}

func begin() error {
	var failed error
	var starting sync.WaitGroup
	starting.Go(func() { chromium, failed = browser.Chromium() })
	err := beginWatching()
	starting.Wait()
	return errors.Join(err, failed)
}

func beginWatching() (err error) {
	if reedwing, err = newBench("wing", ""); err != nil {
		return err
	}
	earlier, err := reedwing.watch("reedwing-1400/2026-05-02-110000", "--sheet", reedwing.sheet)
	if err != nil {
		return err
	}
	earlier.end(os.Interrupt)
	watching, err = reedwing.watch("reedwing-1400/2026-05-09-100000", "--sheet", reedwing.sheet)
	return err
}

// finish ends what began.
func finish() error {
	if chromium != nil {
		chromium.Stop()
	}
	if begun != nil {
		begun.Stop()
	}
	if watching != nil {
		watching.end(os.Interrupt)
	}
	if reedwing != nil {
		reedwing.stop()
	}
	program, err := built()
	if err != nil {
		return err
	}
	return os.RemoveAll(filepath.Dir(program))
}

// both runs a flow in each browser, at the same time.
func both(t *testing.T, flow func(*testing.T, *browser.Browser)) {
	t.Run(chromium.Name, func(t *testing.T) {
		t.Parallel()
		flow(t, chromium)
	})
	t.Run("firefox", func(t *testing.T) {
		t.Parallel()
		b, err := firefox()
		require.NoError(t, err)
		flow(t, b)
	})
}

// own is a program that watches a bench of its own, for a flow that changes either, until the test is over.
// Its timeline is kept where the flow fails.
func own(t *testing.T, more string) *daemon {
	b, err := newBench("wing", more)
	require.NoError(t, err)
	t.Cleanup(b.stop)
	d, err := b.watch("reedwing-1400/2026-05-09-100000", "--sheet", b.sheet)
	require.NoError(t, err)
	t.Cleanup(func() {
		d.end(os.Interrupt)
		if text, err := os.ReadFile(filepath.Join(d.session, "timeline.jsonl")); err == nil && t.Failed() {
			browser.KeepLost(t, "jsonl", text)
		}
	})
	return d
}

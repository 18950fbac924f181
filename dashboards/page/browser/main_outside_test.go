//go:build outside && linux

package browser_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// What all flows share; each starts once.
var (
	chromium *browser.Browser
	reedwing *bench  // its third place of aid lands where another mode is asked for
	watching *daemon // watches it, with an earlier session beside its own
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

// wrongThird is what is wrong at the bench.
const wrongThird = "fault lands aid third 1460"

func TestMain(m *testing.M) {
	err := begin()
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

func begin() error {
	var failed error
	var starting sync.WaitGroup
	starting.Go(func() { chromium, failed = browser.Chromium() })
	err := beginWatching()
	starting.Wait()
	return errors.Join(err, failed)
}

func beginWatching() (err error) {
	if reedwing, err = newBench("wing", wrongThird); err != nil {
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

// both runs a flow in each browser.
func both(t *testing.T, flow func(*testing.T, *browser.Browser)) {
	t.Run(chromium.Name, func(t *testing.T) { flow(t, chromium) })
	t.Run("firefox", func(t *testing.T) {
		b, err := firefox()
		require.NoError(t, err)
		flow(t, b)
	})
}

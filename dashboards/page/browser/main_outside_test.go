//go:build outside && linux

package browser_test

import (
	"errors"
	"fmt"
	"os"
	"sync"
	"testing"

	"benchproof.example/dashboards/page/browser"
)

// What all flows share; each starts once.
var (
	chromium, firefox *browser.Browser
	reedwing          *bench  // its third place of aid lands where another mode is asked for
	watching          *daemon // watches it, with an earlier session beside its own
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
	var failed [3]error
	var all sync.WaitGroup
	all.Go(func() { chromium, failed[0] = browser.Chromium() })
	all.Go(func() { firefox, failed[1] = browser.Firefox() })
	all.Go(func() { failed[2] = beginWatching() })
	all.Wait()
	return errors.Join(failed[:]...)
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
	for _, b := range []*browser.Browser{chromium, firefox} {
		if b != nil {
			b.Stop()
		}
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
	return os.RemoveAll(program)
}

// both runs a flow in each browser.
func both(t *testing.T, flow func(*testing.T, *browser.Browser)) {
	for _, b := range []*browser.Browser{chromium, firefox} {
		t.Run(b.Name, func(t *testing.T) { flow(t, b) })
	}
}

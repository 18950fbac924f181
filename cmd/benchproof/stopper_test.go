package main

import (
	"bytes"
	"context"
	"os"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What signals make of a command that does not end by itself, in simulated time.
func TestSignalsOfACommandThatDoesNotEnd(t *testing.T) {
	const ms = time.Millisecond
	type sent struct {
		after time.Duration // behind the one before
		sig   os.Signal     // nil: something may take longer
	}
	for name, c := range map[string]struct {
		signals []sent
		ends    time.Duration // behind the first signal
	}{
		"one":                               {[]sent{{0, os.Interrupt}}, stopWithin},
		"another":                           {[]sent{{0, os.Interrupt}, {400 * ms, os.Interrupt}}, 400 * ms},
		"one of each":                       {[]sent{{0, os.Interrupt}, {400 * ms, syscall.SIGTERM}}, 400 * ms},
		"twice for one wish":                {[]sent{{0, syscall.SIGTERM}, {ms, syscall.SIGTERM}}, stopWithin},
		"a terminal that closes":            {[]sent{{0, syscall.SIGHUP}, {400 * ms, syscall.SIGHUP}}, stopWithin},
		"what takes longer":                 {[]sent{{0, os.Interrupt}, {ms, nil}, {time.Hour, os.Interrupt}}, time.Hour + ms},
		"said twice":                        {[]sent{{0, os.Interrupt}, {ms, nil}, {0, nil}, {time.Hour, os.Interrupt}}, time.Hour + ms},
		"what may take longer, then hurry":  {[]sent{{0, os.Interrupt}, {ms, nil}, {400 * ms, syscall.SIGTERM}}, 401 * ms},
		"Ctrl-C after the terminal is gone": {[]sent{{0, syscall.SIGHUP}, {400 * ms, os.Interrupt}}, 400 * ms},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				ended := make(chan int, 1)
				var said bytes.Buffer
				s := newStopper(&said, func(code int) { ended <- code })
				time.Sleep(time.Hour)
				synctest.Wait()
				require.NoError(t, s.ctx.Err(), "nobody asked")
				began := time.Now()
				for _, signal := range c.signals {
					time.Sleep(signal.after)
					synctest.Wait()
					if signal.sig == nil {
						mayTakeLonger(s.ctx)
					} else {
						s.asked <- signal.sig
					}
				}
				assert.Equal(t, exitInterrupted, <-ended)
				assert.Equal(t, c.ends, time.Since(began))
				require.ErrorIs(t, s.ctx.Err(), context.Canceled)
				assert.Equal(t, c.ends == stopWithin, said.Len() > 0, "why it is not at its end is said")
			})
		})
	}
	mayTakeLonger(t.Context()) // of no stopper: nothing
}

package monitor_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
)

// readsLate has the computer read late, by anything from 30 to 900 ms and some 20 times a minute.
func (h *soakHour) readsLate(t *testing.T) {
	const least, times = 30, 30
	var steps strings.Builder
	for at := 3 * time.Second; at < h.length-2*time.Second; {
		lasts := time.Duration(least*math.Pow(times, h.rng.Float64())) * time.Millisecond
		if at > h.stall[1]+time.Second || at+lasts < h.stall[0] {
			h.busy = append(h.busy, [2]time.Duration{at, at + lasts})
			fmt.Fprintf(&steps, "%v stall for %v\n", at, lasts)
		}
		at += lasts + time.Duration(h.rng.ExpFloat64()*2500)*time.Millisecond
	}
	// Steps stand in the order of their times.
	lines := strings.SplitAfter(h.text+steps.String(), "\n")
	first := strings.Count(h.text[:strings.Index(h.text, "\n0s ")+1], "\n")
	h.text = strings.Join(lines[:first], "") + stepsInOrder(t, lines[first:len(lines)-1])
	var err error
	h.script, err = script.Parse("late hour", []byte(h.text))
	require.NoError(t, err, h.text)
}

// stepsInOrder sorts steps by their times.
func stepsInOrder(t *testing.T, steps []string) string {
	at := func(step string) time.Duration {
		when, _, _ := strings.Cut(step, " ")
		d, err := time.ParseDuration(when)
		require.NoError(t, err, step)
		return d
	}
	slices.SortStableFunc(steps, func(a, b string) int { return int(at(a) - at(b)) })
	return strings.Join(steps, "")
}

// briefly is how long a silence lasts at most of which a late read may leave less than the
// second that makes it an outage.
const briefly = 2 * time.Second

// A computer that reads late all the time loses no outage: the frames show it by their flags, or by
// how few they are.
func TestTheAccountOfABusyComputer(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 12) {
		t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
			t.Parallel()
			h := newSoakHour(t, seed, 10*time.Minute, mostFault)
			h.readsLate(t)
			e := engine.New(starter(t), func(*event.Event, int64) {})
			sim, l := h.hear(seed, e.Step)
			c, got := h.counted(sim, l), &e.State().Account.Taps[0]
			unsure := int64(0)
			for _, s := range c.spans {
				if s.to-s.from < int64(briefly) {
					unsure++
				}
			}
			assert.GreaterOrEqual(t, got.Outages, c.Outages-unsure, "outages")
			assert.LessOrEqual(t, got.Outages, c.Outages, "outages")
			assert.GreaterOrEqual(t, got.Causes[0], c.Causes[0]-unsure, "those that flags show")
			if t.Failed() {
				t.Log(h.text[len(model):], got.Latest)
			}
		})
	}
}

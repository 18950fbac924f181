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
	"benchproof.example/monitor/sim/world"
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

// briefly is how long a silence lasts at most of which a late read of up to 900 ms may leave less
// than the second that makes it an outage.
const briefly = 2 * time.Second

// asRead is how much longer a silence may be as it is read than as the bench has it: by a period of
// the bus, since it is counted from frame to frame, and by what the adapter gathers.
func (h *soakHour) asRead() int64 { return h.script.Receivers[0].Period + int64(h.clump) }

// nearly are silences that are a second long as they are read, or not.
func (h *soakHour) nearly(sim *world.Sim) (n int64) {
	truths := sim.Truth()
	for i, x := range truths {
		if x.Kind+" "+x.To == "bus silent" {
			if lasts := ends(truths[i:]) - x.At; lasts < int64(time.Second) && lasts+h.asRead() >= int64(time.Second) {
				n++
			}
		}
	}
	return n
}

// A computer that reads late all the time loses no outage: the frames show it by their flags, or by
// how few they are.
func TestTheAccountOfABusyComputer(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 4) {
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
			assert.LessOrEqual(t, got.Outages, c.Outages+h.nearly(sim), "outages")
			assert.GreaterOrEqual(t, got.Causes[0], c.Causes[0]-unsure, "those that flags show")
			if t.Failed() {
				t.Log(h.text[len(model):], got.Latest)
			}
		})
	}
}

// A silence that a late read hides in part is an outage as long as a second of it is left, whatever is
// read late behind it. A late read alone is none.
func TestASilenceBesideALateRead(t *testing.T) {
	const begins = 10 * time.Second
	for _, x := range []struct {
		name           string
		before, within time.Duration // nobody reads before the silence begins, and in it
		lasts          time.Duration
		again          bool // nobody reads once more, right behind it
		outages        int64
	}{
		{"a second is left", 180 * time.Millisecond, 720 * time.Millisecond, 1800 * time.Millisecond, false, 1},
		{"less is left", 180 * time.Millisecond, 720 * time.Millisecond, 1350 * time.Millisecond, false, 0},
		{"most of the late read was before", 720 * time.Millisecond, 180 * time.Millisecond, 2050 * time.Millisecond, false, 1},
		{"read late behind it too", 720 * time.Millisecond, 180 * time.Millisecond, 2050 * time.Millisecond, true, 1},
		{"read late twice, and never silent", 720 * time.Millisecond, 180 * time.Millisecond, 0, true, 0},
	} {
		for _, clump := range []string{"", "adapter main clump 16ms\n"} {
			t.Run(x.name+" "+strings.TrimSpace(clump), func(t *testing.T) {
				h := unwrittenHour(t, 1, 20*time.Second)
				stalls := [][2]time.Duration{{begins - x.before, begins + x.within}}
				if x.again {
					again := begins + max(x.lasts, x.within) + 30*time.Millisecond
					stalls = append(stalls, [2]time.Duration{again, again + 230*time.Millisecond})
				}
				h.text = model + "packets every 9ms\nreceiver main preset wakes neutral period 9ms regain 100ms\n" + presets + clump + "0s signal on\n"
				for i, s := range stalls {
					h.text += fmt.Sprintf("%v stall for %v\n", s[0], s[1]-s[0])
					if i == 0 && x.lasts > 0 {
						h.text += fmt.Sprintf("%v mute main for %v\n", begins, x.lasts)
					}
				}
				h.text += "20s end\n"
				h.busy = stalls
				var err error
				h.script, err = script.Parse("late", []byte(h.text))
				require.NoError(t, err, h.text)
				e := engine.New(starter(t), func(*event.Event, int64) {})
				h.hear(1, e.Step)
				assert.Equal(t, x.outages, e.State().Account.Taps[0].Outages)
			})
		}
	}
}

package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// differential judges the same inputs twice, with watchers that sleep and with such that
// are shown every frame, and holds what both say and know to one another.
type differential struct {
	t              *testing.T
	rng            *rand.Rand
	sheet          *sheet.Sheet
	sleepy, awake  *engine.Engine
	said, expected lines
	apart          int // inputs between two checkpoints, about
	n              int
	length         int // of what was said before
}

func newDifferential(t *testing.T, s *sheet.Sheet, seed uint64) *differential {
	d := &differential{t: t, rng: rand.New(rand.NewPCG(seed, 17)), sheet: s}
	d.apart = one(d.rng, 60, 400, 400, 3000)
	d.sleepy, d.awake = engine.New(s, d.said.hear), engine.New(s, d.expected.hear)
	d.awake.KeepAwake()
	return d
}

// step judges an input. Now and then, before it, what both know is compared, and the one
// that sleeps may go on from its checkpoint.
func (d *differential) step(in *event.Input) {
	if d.n++; d.rng.IntN(d.apart) == 0 {
		d.compare()
	}
	d.sleepy.Step(in)
	d.awake.Step(in)
	if d.said.Len() != d.expected.Len() || d.said.Len() != d.length && d.rng.IntN(4) == 0 {
		d.compare()
	}
	d.length = d.said.Len()
}

func (d *differential) compare() {
	d.t.Helper()
	require.Equal(d.t, d.expected.String(), d.said.String(), "events, at input %d", d.n)
	known, err := d.sleepy.Checkpoint()
	require.NoError(d.t, err)
	want, err := d.awake.Checkpoint()
	require.NoError(d.t, err)
	if string(known) != string(want) {
		d.t.Fatalf("states differ at input %d, %v:\n%s", d.n, time.Duration(d.awake.Now()), difference(string(want), string(known)))
	}
	require.Equal(d.t, d.awake.State(), d.sleepy.State())
	if d.rng.IntN(4) == 0 {
		d.sleepy, err = engine.Restore(known, d.sheet, d.said.hear)
		require.NoError(d.t, err)
	}
}

// difference is where two texts part.
func difference(want, got string) string {
	i := 0
	for i < min(len(want), len(got)) && want[i] == got[i] {
		i++
	}
	part := func(s string) string { return s[max(0, i-300):min(len(s), i+80)] }
	return "want " + part(want) + "\ngot  " + part(got)
}

// Watchers that sleep say the same, and know the same whenever somebody looks, over
// careless hands on any receiver and link.
func TestSleepChangesNothingOverCarelessHands(t *testing.T) {
	for seed := range seeds(t) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			c := newCareless(t, seed)
			c.play(t)
			scripted, err := script.Parse("careless", []byte(c.script()))
			require.NoError(t, err, c.script())
			slices.SortFunc(c.unread, func(a, b [2]time.Duration) int { return int(a[0] - b[0]) })
			d := newDifferential(t, c.sh, seed)
			c.heard = d.step
			c.judge(c.sh, world.New(&scripted.Plan, seed), func(*event.Event, int64) {})
			d.compare()
		})
	}
}

// The same over careless hands that do drills, with servo leads, on models that have a
// fault.
func TestSleepChangesNothingOverCarelessDrills(t *testing.T) {
	for seed := range seeds(t) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			c := newCraft(seed + faulty)
			_, f := drawFault(c)
			h := newDrilled(t, c, f, seed)
			d := newDifferential(t, h.sheet, seed)
			in := begin("main", "leads")
			d.step(&in)
			for tap := range uint8(2) {
				d.step(&event.Input{Tap: tap + 1, Kind: event.InputTapUp, Data: []byte(`{"port":"simulated"}`)})
			}
			h.heard = d.step
			h.plays(h.drills(f.drills))
			d.compare()
		})
	}
}

// The same over buses that are quiet but for one thing now and then: whatever may wake
// somebody comes at any time.
func TestSleepChangesNothingOverQuietBuses(t *testing.T) {
	for seed := range 8 * seeds(t) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			q := newQuietBus(seed)
			text := string(sheettest.TwoSwitches())
			if q.rng.IntN(3) > 0 {
				text += "\nmark_button: {channel: teach, when: pressed}\n"
			}
			if q.rng.IntN(3) == 0 {
				before, behind, _ := strings.Cut(text, "\nheartbeat:\n")
				_, behind, _ = strings.Cut(behind, "\n")
				text = before + "\n" + behind
			}
			if seed%5 == 4 {
				text = string(sheet.ForListening([]sheet.Tap{{Name: "main", Kind: "bus"}}))
			}
			s, err := sheet.Read("quiet", []byte(text))
			require.NoError(t, err, text)
			d := newDifferential(t, s, seed)
			q.plays(d.step)
			d.compare()
		})
	}
}

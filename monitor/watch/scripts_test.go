package watch_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// findings are what a script of the simulated bench makes the monitor find, the
// link and the switches aside.
func findings(t *testing.T, name string, seed uint64, sh *sheet.Sheet) []event.Event {
	scripted, err := script.Named(name)
	require.NoError(t, err)
	return found(t, scripted, seed, sh)
}

func found(t *testing.T, scripted *script.Script, seed uint64, sh *sheet.Sheet) (list []event.Event) {
	kinds := []string{
		event.GestureMade, event.TravelClipped, event.TravelFree, event.ValuesStill, event.ValuesMoving,
		event.ValueSpiked, event.GainSwept, event.JudgementFailed,
	}
	b := engine.New(sh, func(e *event.Event, _ int64) {
		if slices.Contains(kinds, e.Kind) {
			list = append(list, *e)
		}
	})
	start := event.Start{Build: "test"}
	for _, tap := range scripted.TapNames() {
		start.Taps = append(start.Taps, event.TapName{Name: tap, Kind: "bus"})
	}
	data, err := json.Marshal(start)
	require.NoError(t, err)
	b.Step(&event.Input{Kind: event.InputBegin, Data: data})
	sim := world.New(&scripted.Plan, seed)
	for d, ok := sim.Next(); ok; d, ok = sim.Next() {
		in := event.Input{At: unit.Time(d.At).Truncate(unit.Microsecond), Tap: uint8(d.Tap + 1), Kind: event.InputBytes, Data: d.Data}
		switch {
		case d.Kind == world.Unplugged:
			in.Kind = event.InputTapDown
		case d.Kind == world.Plugged:
			in.Kind, in.Data = event.InputTapUp, []byte(`{"port":"simulated"}`)
		case d.Bad:
			in.Kind = event.InputBadBytes
		}
		b.Step(&in)
	}
	return list
}

// beatless is the starter's sheet without its heartbeat, which the scripts don't have.
func beatless(t *testing.T) *sheet.Sheet {
	text, _, found := bytes.Cut(sheet.Starter(), []byte("\nheartbeat:\n"))
	require.True(t, found)
	s, err := sheet.Read("starter", append(text, '\n'))
	require.NoError(t, err)
	require.Nil(t, s.Heartbeat)
	return s
}

// On a bench where all is well, hands and losses that are flagged give no finding
// but the sweeps of the gain.
func TestNothingIsFoundWhereAllIsWell(t *testing.T) {
	sh := beatless(t)
	for _, name := range []string{"good", "two", "clumped", "silent"} {
		t.Run(name, func(t *testing.T) {
			for seed := range uint64(20) {
				for _, e := range findings(t, name, seed, sh) {
					assert.Equal(t, event.GainSwept, e.Kind, "seed %d: about %s at %d: %+v", seed, e.About, e.At, e.Data)
				}
			}
		})
	}
}

// The strength knob goes to 1040 and to 1930 µs while the link is live.
func TestTheGainIsSwept(t *testing.T) {
	list := findings(t, "good", 1, beatless(t))
	require.GreaterOrEqual(t, len(list), 2)
	for i, want := range []event.GainSweptData{
		{FromNS: 1_485_000, ToNS: 1_040_000, LeastNS: 1_040_000, MostNS: 1_485_000},
		{FromNS: 1_040_000, ToNS: 1_930_000, LeastNS: 1_040_000, MostNS: 1_930_000},
	} {
		got := list[i].Data.(event.GainSweptData)
		assert.InDelta(t, int64(want.FromNS), int64(got.FromNS), 5000)
		assert.InDelta(t, int64(want.ToNS), int64(got.ToNS), 5000)
		assert.InDelta(t, int64(want.LeastNS), int64(got.LeastNS), 5000)
		assert.InDelta(t, int64(want.MostNS), int64(got.MostNS), 5000)
		assert.Equal(t, event.SignalLive, got.Signal)
		assert.False(t, got.Suspect)
	}
}

const holds = `
channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 988
channel 4 rudder 1500
receiver main hold flags none
0s     signal on
5s     stir %s for 13s
12s    signal off
16s    signal on
24s    signal off
28s    signal on
32s    end
`

// The presets of a receiver that flags nothing are found when they leap back, and
// nothing else is.
func TestUnflaggedPresetsAreFound(t *testing.T) {
	for seed := range uint64(20) {
		list := findings(t, "unflagged", seed, beatless(t))
		list = slices.DeleteFunc(list, func(e event.Event) bool { return e.Kind == event.GainSwept })
		require.Equal(t, []string{event.ValuesStill, event.ValuesMoving}, kinds(list), "seed %d", seed)
		assert.InDelta(t, float64(13500*ms), float64(list[0].From), float64(unit.Second), "seed %d: the last live frame", seed)
		assert.InDelta(t, float64(20*unit.Second), float64(list[1].From), float64(200*ms), "seed %d: the first", seed)
		assert.Equal(t, "leapt", list[0].Data.(event.ValuesStillData).Because)
	}
}

// An unflagged loss shows while sticks are stirred, if two of them were in motion
// and one in full motion just then: the more are stirred, the surer. At rest it
// shows nothing.
func TestAHoldShowsWhileStirred(t *testing.T) {
	for _, c := range []struct {
		sticks      string
		least, most int // of 20
	}{
		{"aileron", 0, 0},
		{"aileron elevator", 3, 20},
		{"aileron elevator throttle rudder", 14, 20},
	} {
		scripted, err := script.Parse("holds", fmt.Appendf(nil, holds, c.sticks))
		require.NoError(t, err)
		seen := 0
		for seed := range uint64(20) {
			list := found(t, scripted, seed, beatless(t))
			list = slices.DeleteFunc(list, func(e event.Event) bool { return !strings.HasPrefix(e.Kind, "value") })
			if len(list) == 0 {
				continue
			}
			seen++
			require.Equal(t, []string{event.ValuesStill, event.ValuesMoving}, kinds(list), "%s, seed %d", c.sticks, seed)
			near(t, 12*unit.Second, list[0].From)
			near(t, 16*unit.Second, list[1].From)
			assert.Equal(t, list[1].At, list[0].At, "told once the sticks have leapt: before, it may have been a pause")
			assert.Less(t, list[0].At, unit.Time(16*unit.Second+300*ms))
		}
		t.Logf("%s: seen in %d of 20", c.sticks, seen)
		assert.GreaterOrEqual(t, seen, c.least, c.sticks)
		assert.LessOrEqual(t, seen, c.most, c.sticks)
	}
}

func near(t *testing.T, want unit.Duration, got unit.Time) {
	t.Helper()
	assert.InDelta(t, float64(want), float64(got), float64(30*ms))
}

// Whatever the script of the program itself shows of its hold, it is that hold.
func TestTheHoldScript(t *testing.T) {
	for seed := range uint64(30) {
		for _, e := range findings(t, "hold", seed, beatless(t)) {
			assert.NotContains(t, []string{event.GestureMade, event.ValueSpiked, event.TravelFree, event.TravelClipped,
				event.GainSwept}, e.Kind, "seed %d: %+v", seed, e)
			if e.Kind == event.ValuesStill {
				near(t, 12*unit.Second, e.From)
			}
		}
	}
}

// Hands that stir, stop, slam sticks into their corners and move two at a time
// freeze nothing.
func TestHandsDontFreeze(t *testing.T) {
	var text strings.Builder
	text.WriteString(`
channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 988
channel 4 rudder 1500
receiver main hold flags none
0s signal on
`)
	rng := rand.New(rand.NewPCG(1, 2))
	at := 2000
	for range 30 {
		fmt.Fprintf(&text, "%dms stir aileron elevator throttle rudder for 1500ms\n", at)
		at += 3000
		for range 4 {
			took := 120 + rng.IntN(300)
			corner := []int{988, 2012, 1100 + rng.IntN(800), 1500}
			for _, stick := range []string{"aileron", "elevator", "rudder"} {
				fmt.Fprintf(&text, "%dms stick %s %d over %dms\n", at, stick, corner[rng.IntN(4)], took)
			}
			at += took + 400
		}
	}
	fmt.Fprintf(&text, "%dms end\n", at)
	scripted, err := script.Parse("hands", []byte(text.String()))
	require.NoError(t, err)
	sh := beatless(t)
	for seed := range uint64(20) {
		for _, e := range found(t, scripted, seed, sh) {
			assert.NotContains(t, []string{event.ValuesStill, event.ValuesMoving, event.ValueSpiked, event.GestureMade,
				event.TravelClipped}, e.Kind, "seed %d at %d", seed, e.At)
		}
	}
}

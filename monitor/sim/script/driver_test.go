package script_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// moves are steps as a harness gives them.
var moves = []struct {
	at   int64
	line string
}{
	{0, "signal on"}, {second, "stick aileron 1900 over 500ms"}, {1200 * ms, "inner front"}, {1200 * ms, "press teach for 300ms"},
	{2 * second, "release aileron"}, {2500 * ms, "stir aileron for 1s"}, {3 * second, "signal off main"}, {4 * second, "unplug main"},
	{4100 * ms, "plug main"}, {4500 * ms, "signal on main"}, {5 * second, "hiccup main for 300ms"},
}

// Steps given one by one play as if they stood in the script, whatever the steps
// of the simulation between them.
func TestDrivenIsAsScripted(t *testing.T) {
	for _, hands := range []string{"", "hands varied\n"} {
		bench := simtest.Rig + hands + "fault offset aileron 12\nfault lags inner 50ms\nadapter rear clump 16ms\n"
		text := bench
		for _, m := range moves {
			text += fmt.Sprintf("%v %s\n", time.Duration(m.at), m.line)
		}
		for seed := range uint64(20) {
			want := simtest.Run(t, text+"6s end", seed)

			sim := script.Drive(simtest.ParseDriven(t, bench), seed)
			sim.KeepTruth = true
			rng := rand.New(rand.NewPCG(seed, 1))
			var got []world.Delivery
			for now, left := int64(0), moves; now < 6*second; now += rng.Int64N(100 * ms) {
				for ; len(left) > 0 && left[0].at <= now; left = left[1:] {
					got = append(got, sim.Advance(left[0].at)...)
					require.NoError(t, sim.Say(left[0].at, left[0].line))
				}
				got = append(got, sim.Advance(now)...)
			}
			got = append(got, sim.Advance(6*second)...)
			after := slices.IndexFunc(want.Deliveries, func(d world.Delivery) bool { return d.At >= 6*second })
			require.Positive(t, after, "the last frame is on its way at the end")
			require.Equal(t, want.Deliveries[:after], got)
		}
	}
}

// Advance stops before its moment; what lies there comes with the next one.
func TestAdvanceLeavesItsMoment(t *testing.T) {
	sim := script.Drive(simtest.ParseDriven(t, simtest.Rig+"0s signal on"), 1)
	all := simtest.Play(simtest.Parse(t, simtest.Rig+"0s signal on\n2s end"), 1).Deliveries
	until := all[100].At
	assert.Equal(t, all[:100], sim.Advance(until))
	assert.Empty(t, sim.Advance(until))
	assert.Empty(t, sim.Advance(until-ms))
	assert.Equal(t, until, sim.Now(), "time does not go back")
	assert.Equal(t, all[100:101], sim.Advance(until + 1)[:1])
	d, ok := sim.Next()
	require.True(t, ok)
	assert.Equal(t, all[101], d)
	require.Error(t, sim.Say(until, "signal off"), "Next went past it")
	require.NoError(t, sim.Say(d.At+10*ms, "signal off"))
	assert.Equal(t, int64(math.MaxInt64), sim.Length())
}

// A step right after a delivery, which an adapter may have handed over late,
// doesn't come before it; and after the last one there is no room for steps.
func TestSayAfterNext(t *testing.T) {
	for seed := range uint64(50) {
		sim := script.Drive(simtest.Parse(t, simtest.Rig+"0s signal on\n1s end"), seed)
		latest := int64(0)
		for n := 0; ; n++ {
			d, ok := sim.Next()
			if !ok {
				break
			}
			require.GreaterOrEqual(t, d.At, latest)
			latest = d.At
			require.Equal(t, latest+1, sim.Now())
			require.Error(t, sim.Say(latest, "unplug main"))
			if latest < second && d.Kind == world.Data {
				require.NoError(t, sim.Say(sim.Now(), []string{"unplug main", "plug main"}[n%2]))
			}
		}
		require.Error(t, sim.Say(second, "signal off"))
	}
}

func TestSayRefuses(t *testing.T) {
	sim := script.Drive(simtest.ParseDriven(t, simtest.Rig+"0s signal on"), 1)
	sim.Advance(2 * second)
	cases := []struct {
		at         int64
		line, want string
	}{
		{2*second - 1, "signal off", `do "signal off" at 1.999999999s: all before 2s is simulated, want a time from there on`},
		{math.MaxInt64, "signal off", `want a time up to 8760h0m0s`},
		{3 * second, "inter front", `do "inter front" at 3s: driven:3: found "inter", want one of a switch`},
		{3 * second, "", `driven:4: found the end of the line, want what happens`},
		{3 * second, "inner front\ninner back", `driven:5: found "inner", want the end of the line`},
		{3 * second, "1s signal off", `driven:6: found "1s"`},
		{3 * second, "cut on", `found a cut, want a setting such as "cutoff throttle 988" first`},
		{3 * second, "fault memory", `found "fault"`},
		{3 * second, "end now", `found "now", want the end of the line`},
	}
	for _, c := range cases {
		require.ErrorContains(t, sim.Say(c.at, c.line), c.want)
	}
	var mistake *script.Mistake
	require.ErrorAs(t, sim.Say(3*second, "inter front"), &mistake)
	require.NoError(t, sim.Say(2*second, "end"), "still open")
	require.ErrorContains(t, sim.Say(3*second, "signal off"), "the script ends at 2s, want a time up to there")
	assert.NotEmpty(t, sim.Advance(math.MaxInt64), "it does end")
	_, more := sim.Next()
	assert.False(t, more)
	assert.Equal(t, 2*second, sim.Length())
}

// What one play is given is not given to another of the same script.
func TestSayStaysInItsDriver(t *testing.T) {
	s := simtest.Parse(t, simtest.Rig+"0s signal on\n2s end")
	driven := script.Drive(s, 1)
	require.NoError(t, driven.Say(second, "inner front"))
	require.NoError(t, driven.Say(1500*ms, "end"))
	assert.Equal(t, 2*second, script.Drive(s, 1).Length())
	assert.NotEmpty(t, driven.Advance(3*second))
	assert.Len(t, simtest.Run(t, simtest.Rig+"0s signal on\n2s end", 1).Deliveries, len(simtest.Play(s, 1).Deliveries))
}

// A step that is still to come when the script is ended does not happen.
func TestEndDropsWhatIsLater(t *testing.T) {
	sim := script.Drive(simtest.ParseDriven(t, simtest.Rig+"0s signal on\n5s signal off"), 1)
	sim.KeepTruth = true
	require.NoError(t, sim.Say(2*second, "end"))
	sim.Advance(10 * second)
	for _, f := range sim.Truth() {
		require.LessOrEqual(t, f.At, 2*second)
	}
}

func TestParseDrivenRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"channel 1 aileron 1500":          `d.script:1: found the end of the file, want a receiver first`,
		"receiver main hold\n1s signal":   `d.script:2: found the end of the line, want one of on, off`,
		"receiver main hold\n1s end\n2s ": `d.script:3: found "2s", want nothing after the end step`,
	} {
		_, err := script.ParseDriven("d.script", []byte(text))
		require.ErrorContains(t, err, want)
	}
}

func TestBench(t *testing.T) {
	const aid = 6
	bench := simtest.Named(t, "faulty-lands").Bench()
	sim := script.Drive(bench, 1)
	require.NoError(t, sim.Say(0, "signal on"))
	sim.Advance(second)
	require.NoError(t, sim.Say(second, "aid third"))
	got := sim.Advance(3 * second)
	assert.Equal(t, simtest.Count(1460), frameIn(t, got[len(got)-6:]).Counts[aid])

	more, err := bench.With("fault offset aid 20")
	require.NoError(t, err)
	sim = script.Drive(more, 1)
	require.NoError(t, sim.Say(0, "signal on"))
	require.NoError(t, sim.Say(second, "aid third"))
	got = sim.Advance(3 * second)
	assert.Equal(t, simtest.Count(1480), frameIn(t, got[len(got)-6:]).Counts[aid], "still with the bench's own fault")
	assert.Equal(t, int64(math.MaxInt64), sim.Length())
}

func TestWith(t *testing.T) {
	const strength = 5
	good := simtest.Named(t, "good")
	bent, err := good.With("hands steady\nfault stuck strength 1600")
	require.NoError(t, err)
	h := simtest.Play(bent, 1)
	assert.Equal(t, script.Drive(good, 1).Length(), h.Sim.Length())
	assert.Equal(t, simtest.Count(1600), simtest.Last(t, h.Frames(t, 0), 28*second).Counts[strength])
	assert.Equal(t, simtest.Count(1930), simtest.Last(t, simtest.Play(good, 1).Frames(t, 0), 28*second).Counts[strength], "as it was")

	_, err = good.With("fault stuck nothing 1600")
	require.ErrorContains(t, err, `good.script:24: found "nothing"`)
	_, err = good.With("1s end")
	require.ErrorContains(t, err, `want nothing after the end step`)
}

// frameIn is the last whole frame in deliveries of a clean bus.
func frameIn(t *testing.T, ds []world.Delivery) simtest.Frame {
	t.Helper()
	h := simtest.Played{Deliveries: ds}
	raw := h.Bytes(0)
	for i := len(raw) - 25; i >= 0; i-- {
		if raw[i] == 0x0F && raw[i+24] == 0 && raw[i+23] == 0 {
			var f simtest.Frame
			servobus.Decode(raw[i:], &f.Frame)
			return f
		}
	}
	require.Fail(t, "no frame")
	return simtest.Frame{}
}

func ExampleDriver_Say() {
	s, err := script.ParseDriven("mine", []byte(`
channel 11 inner 988
place inner back 988
place inner front 2012
receiver main hold
fault lands inner front 1660
hands varied
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	sim := script.Drive(s, 42)
	for _, prompt := range []string{"signal on", "inner front", "inner back", "inner font"} {
		now := sim.Now()
		if err := sim.Say(now, prompt); err != nil {
			fmt.Println(err)
			return
		}
		got := sim.Advance(now + int64(time.Second))
		fmt.Println(prompt, len(got) > 100)
	}
	// Output:
	// signal on true
	// inner front true
	// inner back true
	// do "inner font" at 3s: driven:4: found "font", want one of back, front
}

func FuzzSay(f *testing.F) {
	for _, m := range moves {
		f.Add(m.at, m.line)
	}
	f.Add(second, "end")
	f.Add(second, "cut on")
	s := simtest.ParseDriven(f, simtest.Rig+"0s signal on\n")
	f.Fuzz(func(t *testing.T, at int64, line string) {
		sim := script.Drive(s, 1)
		sim.Advance(100 * ms)
		err := sim.Say(at, line)
		if at < 100*ms {
			require.Error(t, err)
		}
		last := int64(0)
		for _, d := range sim.Advance(3 * second) {
			require.GreaterOrEqual(t, d.At, last)
			last = d.At
		}
	})
}

// What is ordered is done within a few milliseconds, and deliveries still come at
// their dates.
func TestPlayLed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		end := world.SinkFunc(func(d world.Delivery) error {
			require.EqualValues(t, d.At, time.Since(start))
			return nil
		})
		sim := script.Drive(simtest.Named(t, "good").Bench(), 1)
		sim.KeepTruth = true
		orders, played := make(chan string), make(chan error)
		go func() { played <- script.PlayOrders(t.Context(), sim, []world.Sink{end}, world.RealTime{}, orders) }()
		orders <- "signal on"
		time.Sleep(2 * time.Second) // of the bubble's time
		orders <- "aid third"
		time.Sleep(time.Second)
		orders <- "end"
		require.NoError(t, <-played)
		on := simtest.Played{Sim: sim.Sim}.When("signal", "transmitter", "on")
		require.Len(t, on, 1)
		moved := simtest.Played{Sim: sim.Sim}.When("switch", "aid", "third")
		require.Len(t, moved, 1)
		assert.InDelta(t, 2*second, moved[0], 200e6)
	})
}

func TestPlayLedEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ignore := world.SinkFunc(func(world.Delivery) error { return nil })
		led := func(ctx context.Context, ends []world.Sink, orders ...string) error {
			queue := make(chan string, len(orders))
			for _, o := range orders {
				queue <- o
			}
			return script.PlayOrders(ctx, script.Drive(simtest.Named(t, "good").Bench(), 1), ends, world.RealTime{}, queue)
		}
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		require.ErrorIs(t, led(ctx, []world.Sink{ignore}), context.DeadlineExceeded)
		require.ErrorContains(t, led(t.Context(), []world.Sink{ignore}, "fly away"), "fly")
		require.ErrorContains(t, led(t.Context(), nil), "got 0 ends, want one for each of 1 taps")
	})
}

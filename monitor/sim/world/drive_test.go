package world_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/world"
)

func parseDriven(t testing.TB, text string) *world.Script {
	t.Helper()
	s, err := world.ParseDriven("driven.script", []byte(text))
	require.NoError(t, err)
	return s
}

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
		bench := rig + hands + "fault offset aileron 12\nfault lags inner 50ms\nadapter rear clump 16ms\n"
		text := bench
		for _, m := range moves {
			text += fmt.Sprintf("%v %s\n", time.Duration(m.at), m.line)
		}
		for seed := range uint64(20) {
			want := run(t, text+"6s end", seed)

			sim := world.New(parseDriven(t, bench), seed)
			sim.KeepTruth = true
			rng := rand.New(rand.NewPCG(seed, 1))
			var got []world.Delivery
			for now, left := int64(0), moves; now < 6*second; now += rng.Int64N(100 * ms) {
				for ; len(left) > 0 && left[0].at <= now; left = left[1:] {
					got = append(got, sim.Advance(left[0].at)...)
					require.NoError(t, sim.Do(left[0].at, left[0].line))
				}
				got = append(got, sim.Advance(now)...)
			}
			got = append(got, sim.Advance(6*second)...)
			after := slices.IndexFunc(want.deliveries, func(d world.Delivery) bool { return d.At >= 6*second })
			require.Positive(t, after, "the last frame is on its way at the end")
			require.Equal(t, want.deliveries[:after], got)
		}
	}
}

// Advance stops before its moment; what lies there comes with the next one.
func TestAdvanceLeavesItsMoment(t *testing.T) {
	sim := world.New(parseDriven(t, rig+"0s signal on"), 1)
	all := play(parse(t, rig+"0s signal on\n2s end"), 1).deliveries
	until := all[100].At
	assert.Equal(t, all[:100], sim.Advance(until))
	assert.Empty(t, sim.Advance(until))
	assert.Empty(t, sim.Advance(until-ms))
	assert.Equal(t, until, sim.Now(), "time does not go back")
	assert.Equal(t, all[100:101], sim.Advance(until + 1)[:1])
	d, ok := sim.Next()
	require.True(t, ok)
	assert.Equal(t, all[101], d)
	require.Error(t, sim.Do(until, "signal off"), "Next went past it")
	require.NoError(t, sim.Do(d.At+10*ms, "signal off"))
	assert.Equal(t, int64(math.MaxInt64), sim.Length())
}

// A step right after a delivery, which an adapter may have handed over late,
// doesn't come before it; and after the last one there is no room for steps.
func TestDoAfterNext(t *testing.T) {
	for seed := range uint64(50) {
		sim := world.New(parse(t, rig+"0s signal on\n1s end"), seed)
		latest := int64(0)
		for n := 0; ; n++ {
			d, ok := sim.Next()
			if !ok {
				break
			}
			require.GreaterOrEqual(t, d.At, latest)
			latest = d.At
			require.Equal(t, latest+1, sim.Now())
			require.Error(t, sim.Do(latest, "unplug main"))
			if latest < second && d.Kind == world.Data {
				require.NoError(t, sim.Do(sim.Now(), []string{"unplug main", "plug main"}[n%2]))
			}
		}
		require.Error(t, sim.Do(second, "signal off"))
	}
}

func TestDoRefuses(t *testing.T) {
	sim := world.New(parseDriven(t, rig+"0s signal on"), 1)
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
		require.ErrorContains(t, sim.Do(c.at, c.line), c.want)
	}
	var mistake *world.Mistake
	require.ErrorAs(t, sim.Do(3*second, "inter front"), &mistake)
	require.NoError(t, sim.Do(2*second, "end"), "still open")
	require.ErrorContains(t, sim.Do(3*second, "signal off"), "the script ends at 2s, want a time up to there")
	assert.NotEmpty(t, sim.Advance(math.MaxInt64), "it does end")
	_, more := sim.Next()
	assert.False(t, more)
	assert.Equal(t, 2*second, sim.Length())
}

// What one play is given is not given to another of the same script.
func TestDoStaysInItsSim(t *testing.T) {
	s := parse(t, rig+"0s signal on\n2s end")
	told := world.New(s, 1)
	require.NoError(t, told.Do(second, "inner front"))
	require.NoError(t, told.Do(1500*ms, "end"))
	assert.Equal(t, 2*second, world.New(s, 1).Length())
	assert.NotEmpty(t, told.Advance(3*second))
	assert.Len(t, run(t, rig+"0s signal on\n2s end", 1).deliveries, len(play(s, 1).deliveries))
}

// A step that is still to come when the script is ended does not happen.
func TestEndDropsWhatIsLater(t *testing.T) {
	sim := world.New(parseDriven(t, rig+"0s signal on\n5s signal off"), 1)
	sim.KeepTruth = true
	require.NoError(t, sim.Do(2*second, "end"))
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
		_, err := world.ParseDriven("d.script", []byte(text))
		require.ErrorContains(t, err, want)
	}
}

func TestBench(t *testing.T) {
	const aid = 6
	bench := named(t, "faulty-lands").Bench()
	sim := world.New(bench, 1)
	require.NoError(t, sim.Do(0, "signal on"))
	sim.Advance(second)
	require.NoError(t, sim.Do(second, "aid third"))
	got := sim.Advance(3 * second)
	assert.Equal(t, count(1460), frameIn(t, got[len(got)-6:]).Counts[aid])

	more, err := bench.With("fault offset aid 20")
	require.NoError(t, err)
	sim = world.New(more, 1)
	require.NoError(t, sim.Do(0, "signal on"))
	require.NoError(t, sim.Do(second, "aid third"))
	got = sim.Advance(3 * second)
	assert.Equal(t, count(1480), frameIn(t, got[len(got)-6:]).Counts[aid], "still with the bench's own fault")
	assert.Equal(t, int64(math.MaxInt64), sim.Length())
}

func TestWith(t *testing.T) {
	const strength = 5
	good := named(t, "good")
	bent, err := good.With("hands steady\nfault stuck strength 1600")
	require.NoError(t, err)
	h := play(bent, 1)
	assert.Equal(t, world.New(good, 1).Length(), h.sim.Length())
	assert.Equal(t, count(1600), last(t, h.frames(t, 0), 28*second).Counts[strength])
	assert.Equal(t, count(1930), last(t, play(good, 1).frames(t, 0), 28*second).Counts[strength], "as it was")

	_, err = good.With("fault stuck nothing 1600")
	require.ErrorContains(t, err, `good.script:24: found "nothing"`)
	_, err = good.With("1s end")
	require.ErrorContains(t, err, `want nothing after the end step`)
}

// frameIn is the last whole frame in deliveries of a clean bus.
func frameIn(t *testing.T, ds []world.Delivery) timed {
	t.Helper()
	h := heard{deliveries: ds}
	raw := h.bytes(0)
	for i := len(raw) - 25; i >= 0; i-- {
		if raw[i] == 0x0F && raw[i+24] == 0 && raw[i+23] == 0 {
			var f timed
			f.Decode((*[25]byte)(raw[i:]))
			return f
		}
	}
	require.Fail(t, "no frame")
	return timed{}
}

func ExampleSim_Do() {
	script, err := world.ParseDriven("mine", []byte(`
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
	sim := world.New(script, 42)
	for _, prompt := range []string{"signal on", "inner front", "inner back", "inner font"} {
		now := sim.Now()
		if err := sim.Do(now, prompt); err != nil {
			fmt.Println(err)
			return
		}
		heard := sim.Advance(now + int64(time.Second))
		fmt.Println(prompt, len(heard) > 100)
	}
	// Output:
	// signal on true
	// inner front true
	// inner back true
	// do "inner font" at 3s: driven:4: found "font", want one of back, front
}

func FuzzDo(f *testing.F) {
	for _, m := range moves {
		f.Add(m.at, m.line)
	}
	f.Add(second, "end")
	f.Add(second, "cut on")
	s := parseDriven(f, rig+"0s signal on\n")
	f.Fuzz(func(t *testing.T, at int64, line string) {
		sim := world.New(s, 1)
		sim.Advance(100 * ms)
		err := sim.Do(at, line)
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

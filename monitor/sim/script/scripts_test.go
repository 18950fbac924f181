package script_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

func TestNames(t *testing.T) {
	assert.Equal(t, []string{"clumped", "elevon", "faulty-blend", "faulty-clip", "faulty-combo", "faulty-correction",
		"faulty-cut", "faulty-dead", "faulty-extra", "faulty-gain", "faulty-hiccup", "faulty-lags", "faulty-lands",
		"faulty-limits", "faulty-loss", "faulty-margin", "faulty-memory", "faulty-mix", "faulty-offset", "faulty-pause",
		"faulty-range", "faulty-rest", "faulty-reverse", "faulty-scale", "faulty-servo", "faulty-shift", "faulty-slew", "faulty-spike",
		"faulty-stuck", "faulty-swap", "faulty-trim", "good", "hold", "silent", "two", "unflagged", "vtail", "wing"},
		script.Names())
	leads := regexp.MustCompile("^(wing|elevon|vtail|faulty-(" + leadFaults + "))$")
	for _, name := range script.Names() {
		want := []string{"main"}
		if name == "two" {
			want = append(want, "rear")
		}
		if leads.MatchString(name) {
			want = append(want, "leads")
			assert.Equal(t, []world.Tap{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}, simtest.Named(t, name).Taps())
		}
		assert.Equal(t, want, simtest.Named(t, name).TapNames(), name)
	}
	_, err := script.Named("better")
	require.ErrorContains(t, err, `no script is called "better"; there are clumped, elevon,`)
}

func TestAboutIsTheFirstSentence(t *testing.T) {
	for text, want := range map[string]string{
		"# One.\n# Two.\n":              "One.",
		"# One that\n# goes on. Two.\n": "One that goes on.",
		"#\n# One.\n\n# Two.\n":         "One.",
		"# No end\n":                    "No end",
		"\n# Too late.\n":               "",
	} {
		s, err := script.Parse("x.script", []byte(text+simtest.Rig+"0s end"))
		require.NoError(t, err)
		assert.Equal(t, want, s.About())
	}
	for _, name := range script.Names() {
		about := simtest.Named(t, name).About()
		assert.True(t, strings.HasSuffix(about, ".") && len(about) > 20, "%s: %q", name, about)
		alone, err := script.AboutNamed(name)
		require.NoError(t, err)
		assert.Equal(t, about, alone)
	}
}

// leadFaults are the kinds of fault that the servo leads show and no bus does.
const leadFaults = "blend|correction|dead|gain|limits|loss|pause|servo|shift"

// The good script shows every position of the mode switch, the whole turn of the
// strength knob, and presets that can be distinguished from hold.
func TestGoodShowsItAll(t *testing.T) {
	const throttle, strength, aid, teach = 2, 5, 6, 13
	h := simtest.Play(simtest.Named(t, "good"), 1)
	frames := h.Frames(t, 0)
	off := h.When("signal", "transmitter", "off")
	require.Len(t, off, 1)

	places := map[uint32]int{}
	low, high := uint32(2047), uint32(0)
	for _, f := range simtest.Between(frames, second, off[0]) {
		places[f.Counts[aid]]++
		low, high = min(low, f.Counts[strength]), max(high, f.Counts[strength])
	}
	for _, width := range []int64{1040, 1330, 1640, 1930} {
		assert.Greater(t, places[simtest.Count(width)], 100, "aid at %d", width)
	}
	assert.Len(t, places, 4, "nothing between positions")
	assert.Equal(t, simtest.Count(1040), low)
	assert.Equal(t, simtest.Count(1930), high)

	last, gone := simtest.Between(frames, 0, off[0]), simtest.Between(frames, off[0]+2*second, off[0]+5*second)
	before, during := last[len(last)-1].Counts, gone[0].Counts
	for number, width := range map[int]int64{throttle: 1000, strength: 1040, aid: 1040} {
		assert.Equal(t, simtest.Count(width), during[number], "preset of channel %d", number+1)
		assert.NotEqual(t, before[number], during[number], "channel %d stood at its preset", number+1)
	}
	for _, number := range []int{0, 1, 3, teach} {
		assert.Equal(t, before[number], during[number], "channel %d holds", number+1)
	}
}

// The unflagged hold shows only because a stick is being stirred.
func TestHoldShowsNothingButStillness(t *testing.T) {
	h := simtest.Play(simtest.Named(t, "hold"), 1)
	frames := h.Frames(t, 0)
	moved := func(from, to int64) (changes int) {
		some := simtest.Between(frames, from, to)
		for i := 1; i < len(some); i++ {
			assert.Zero(t, some[i].Flags)
			if some[i].Counts != some[i-1].Counts {
				changes++
			}
		}
		return changes
	}
	assert.Greater(t, moved(11*second, 12*second), 50, "stirred")
	assert.Zero(t, moved(12*second+20*ms, 18*second), "held, though stirred")
	assert.Zero(t, moved(26*second, 36*second), "at rest: nothing tells the loss")
}

func TestTwoCarriesOnWithoutTheRear(t *testing.T) {
	h := simtest.Play(simtest.Named(t, "two"), 1)
	var kinds []world.DeliveryKind
	var pulled, back int64
	for _, d := range h.Deliveries {
		switch {
		case d.Kind != world.Data:
			require.Equal(t, 1, d.Tap)
			kinds = append(kinds, d.Kind)
			pulled, back = back, d.At
		case d.Tap == 1:
			require.False(t, len(kinds) == 1, "data at %d from a tap without its plug", d.At)
		}
	}
	assert.Equal(t, []world.DeliveryKind{world.Unplugged, world.Plugged}, kinds)
	assert.Equal(t, []int64{13 * second, 17 * second}, []int64{pulled, back})
	for _, tap := range []string{"main", "rear"} {
		assert.Len(t, h.When("failsafe", tap, "entered"), 2, tap)
	}
}

// Each kind of fault has a script of its name; what a faulty script shows is its
// fault's doing.
func TestFaultyScripts(t *testing.T) {
	_, err := script.Parse("x.script", []byte(simtest.Rig+"fault x"))
	_, kinds, found := strings.Cut(err.Error(), "want one of ")
	require.True(t, found)
	for _, kind := range strings.Split(kinds, ", ") {
		require.Contains(t, script.Names(), "faulty-"+kind)
	}
	wing := simtest.Play(simtest.Named(t, "wing"), 1)
	faultOnly := regexp.MustCompile(`(?m)^(fault .*|\d+s +hiccup .*|\d+s +teach middle)$`)
	for _, name := range script.Names() {
		kind, faulty := strings.CutPrefix(name, "faulty-")
		if !faulty {
			continue
		}
		text, err := os.ReadFile(filepath.Join("scripts", name+".script"))
		require.NoError(t, err)
		if strings.Contains(kinds, kind) {
			require.Contains(t, string(text), "\nfault "+kind+" ")
		}
		bare := faultOnly.ReplaceAllString(string(text), "")
		bent := simtest.Run(t, string(text), 1)
		if strings.Contains("|"+leadFaults+"|", "|"+kind+"|") {
			require.Equal(t, statements(t, "wing"), strings.Fields(comment.ReplaceAllString(bare, "")), "%s: but for its fault it is the wing", name)
			require.True(t, bytes.Equal(wing.Bytes(0), bent.Bytes(0)), "%s: the bus does not show it", name)
			require.False(t, bytes.Equal(wing.Bytes(1), bent.Bytes(1)), name)
			continue
		}
		right := simtest.Run(t, bare, 1)
		require.Equal(t, 40*second, bent.Sim.Length(), name)
		frames, differ := right.Frames(t, 0), 0
		for i, f := range bent.Frames(t, 0) {
			require.Equal(t, frames[i].At, f.At)
			require.Equal(t, frames[i].Flags, f.Flags)
			if frames[i].Counts != f.Counts {
				differ++
			}
		}
		assert.Greater(t, differ, 30, name)
	}
}

var comment = regexp.MustCompile("(?m)#.*$")

// statements are the words of a script without its comments.
func statements(t testing.TB, name string) []string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("scripts", name+".script"))
	require.NoError(t, err)
	return strings.Fields(comment.ReplaceAllString(string(text), ""))
}

package world_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/scale"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
)

// wing is the bench that kinds of receiver are put on, with hands that are exact.
const wing = `channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 988
channel 9 gain 1756
` + simtest.ModeSwitches + simtest.Teach + "hands steady\n"

// loss has all controls but teach away from home when the signal goes at 12 s,
// the elevator moving. The transmitter is on again at 20 s, the controls are home
// at 24 s.
const loss = `300ms signal on
7s stick throttle 1400 over 600ms
8s stick aileron 1700 over 400ms
8.5s stick gain 2012 over 400ms
9s inner front
9s outer front
10s stir elevator for 4s
12s signal off
20s signal on
22s stick throttle 988 over 600ms
22.5s stick aileron 1500 over 400ms
23s outer back
23.3s inner back
30s end
`

// What each kind shows between 16 s and 20 s, long after the signal went: flags,
// and widths of the throttle, the gain, inner and teach.
var shown = map[string]struct {
	flags                        string
	throttle, gain, inner, teach int64 // us
}{
	"preset":               {"both", 988, 1756, 1500, 988},
	"preset-held-first":    {"both", 988, 1756, 1500, 988},
	"preset-ramp":          {"both", 988, 1756, 1500, 988},
	"preset-lost-only":     {"lost", 988, 1756, 1500, 988},
	"preset-failsafe-only": {"failsafe", 988, 1756, 1500, 988},
	"preset-unflagged":     {"none", 988, 1756, 1500, 988},
	"preset-flagged-late":  {"both", 988, 1756, 1500, 988},
	"hold":                 {"both", 1400, 2012, 2012, 988},
	"hold-unflagged":       {"none", 1400, 2012, 2012, 988},
	"hold-flagged-late":    {"both", 1400, 2012, 2012, 988},
	"silent":               {},
	"silent-flagged":       {},
	"silent-unflagged":     {},
	"mixed":                {"both", 988, 1756, 2012, 988},
	"mixed-unflagged":      {"none", 988, 1756, 2012, 988},
	"taught":               {"both", 1400, 2012, 2012, 988},
	"mirrored-gain":        {"both", 988, 1244, 1500, 988},
	"mirrored-throttle":    {"both", 2012, 1756, 1500, 988},
	"throttle-above-cut":   {"both", -1, 1756, 1500, 988},
	"mode-elsewhere":       {"both", 988, 1756, 988, 988},
	"gain-zero":            {"both", 988, -1, 1500, 988},
	"learn-pressed":        {"both", 988, 1756, 1500, 2012},
	"second-follows":       {"none", 1400, 2012, 2012, 988},
	"second-holds":         {"none", 1400, 2012, 2012, 988},
	"second-rests":         {"none", 988, 1756, 988, 988},
	"second-moves":         {"none", -1, -1, 988, 988},
	"takeover":             {"none", 1400, 2012, 2012, 988},
	"regain-late":          {"both", 988, 1756, 1500, 988},
	"regain-never":         {"both", 988, 1756, 1500, 988},
	"warning":              {"both", 988, 1756, 1500, 988},
	"wakes-flagged":        {"none", 988, 1756, 1500, 988},
	"wakes-unflagged":      {"both", 988, 1756, 1500, 988},
	"wakes-neutral":        {"both", 988, 1756, 1500, 988},
	"wakes-silent":         {"both", 988, 1756, 1500, 988},
	"stabilised":           {"both", 988, 1756, 1500, 988},
	"stabilised-always":    {"both", 988, 1756, 1500, 988},
}

func TestEachKindIsShown(t *testing.T) {
	var names []string
	for _, k := range script.Receivers() {
		names = append(names, k.Name)
		assert.Regexp(t, regexp.MustCompile(`^[A-Z].*\.$`), k.About, k.Name)
		want, known := shown[k.Name]
		require.True(t, known, k.Name)
		t.Run(k.Name, func(t *testing.T) {
			for seed := range uint64(2) {
				frames := simtest.Between(simtest.Run(t, wing+k.Setup+loss, seed).Frames(t, 0), 16*second, 20*second)
				if want.flags == "" {
					require.Empty(t, frames)
					continue
				}
				require.InDelta(t, 4000/7, len(frames), 2)
				require.Equal(t, []string{want.flags}, flagsSeen(frames))
				for number, width := range map[int]int64{throttle: want.throttle, gain: want.gain, inner: want.inner, learnSwitch: want.teach} {
					if width >= 0 {
						require.Equal(t, []uint32{simtest.Count(width)}, countsSeen(frames, number), "channel %d", number+1)
					}
				}
			}
		})
	}
	require.Len(t, names, len(shown))
	require.True(t, slices.IsSorted(names))
}

// flagsSeen are the different flags of frames, in order of their appearance.
func flagsSeen(frames []simtest.Frame) (flags []string) {
	for _, f := range frames {
		if is := flagWord(f); !slices.Contains(flags, is) {
			flags = append(flags, is)
		}
	}
	return flags
}

// countsSeen are the different values of a channel, numbered from 0, rising.
func countsSeen(frames []simtest.Frame, number int) []uint32 {
	counts := make([]uint32, len(frames))
	for i := range frames {
		counts[i] = frames[i].Counts[number]
	}
	slices.Sort(counts)
	return slices.Compact(counts)
}

func flagWord(f simtest.Frame) string {
	switch {
	case f.Lost() && f.Failsafe():
		return "both"
	case f.Lost():
		return "lost"
	case f.Failsafe():
		return "failsafe"
	}
	return "none"
}

// Truth holds against the frames themselves, whatever the kind and with frames
// that were never sent.
func TestTruthOfEachKind(t *testing.T) {
	for _, k := range script.Receivers() {
		t.Run(k.Name, func(t *testing.T) {
			for seed := range uint64(3) {
				h := simtest.Run(t, wing+k.Setup+"wire main missing 2%\n"+loss, seed)
				frames := h.Frames(t, 0)
				checkFlags(t, h, frames)
				checkSilences(t, h)
				checkPackets(t, h)
				checkLive(t, h, frames)
				checkChannels(t, h, frames)
			}
		})
	}
}

func checkFlags(t *testing.T, h simtest.Played, frames []simtest.Frame) {
	var want, got []string
	was := "none"
	for _, f := range frames {
		if is := flagWord(f); is != was {
			was, want = is, append(want, fmt.Sprint(f.At, is))
		}
	}
	for _, x := range h.Sim.Truth() {
		if x.Kind == "flags" {
			got = append(got, fmt.Sprint(x.At, x.To))
		}
	}
	require.Equal(t, want, got)
}

// Nothing but silence lasts longer than 60 ms: eight frames in a row don't go
// missing.
func checkSilences(t *testing.T, h simtest.Played) {
	var silent, back []int64
	ends := h.Sim.FrameEnds(0)
	for i := 1; i < len(ends); i++ {
		if ends[i]-ends[i-1] > 60*ms {
			silent, back = append(silent, ends[i-1]), append(back, ends[i])
		}
	}
	if ends[0] > 60*ms { // silent from the start
		back = append([]int64{ends[0]}, back...)
	}
	require.Equal(t, silent, h.When("bus", "main", "silent"))
	require.Equal(t, back, h.When("bus", "main", "back"))
}

// Packets end and begin with the signal, one pace off it at most.
func checkPackets(t *testing.T, h simtest.Played) {
	var silences [][2]int64
	began := int64(-1)
	for _, x := range h.Sim.Truth() {
		switch {
		case x.Kind == "packet" && x.To == "last":
			began = x.At
		case x.Kind == "packet" && x.To == "first" && began >= 0:
			silences = append(silences, [2]int64{began, x.At})
		}
	}
	gone := h.When("signal", "second", "on")
	if began < 0 {
		require.Len(t, gone, 1, "only a second transmitter leaves no gap")
		return
	}
	require.Len(t, silences, 1)
	assert.InDelta(t, 12*second-packet/2, silences[0][0], float64(packet/2+ms))
	until := 20 * second
	if ended := h.When("warning", "transmitter", "ended"); len(ended) > 0 {
		until = ended[0]
	}
	if len(gone) > 0 {
		until = gone[0]
	}
	assert.InDelta(t, until+packet/2, silences[0][1], float64(packet/2+ms))
}

// The last live frame is the last that carries what was heard, the first one
// comes right after failsafe.
func checkLive(t *testing.T, h simtest.Played, frames []simtest.Frame) {
	entered, left := h.When("failsafe", "main", "entered"), h.When("failsafe", "main", "left")
	last, first := h.When("frame", "main", "last-live"), h.When("frame", "main", "first-live")
	require.Len(t, last, len(entered))
	require.Len(t, first, len(left))
	start := servobus.Protocol().FrameTime() - servobus.Protocol().LastStop() // before the end
	for i, at := range first {
		next := slices.IndexFunc(frames, func(f simtest.Frame) bool { return f.At-start >= left[i] })
		require.Equal(t, frames[next].At, at)
	}
	for i, at := range last {
		last := h.When("packet", "main", "last")[i]
		fresh := func(f simtest.Frame) bool { return f.At-start <= last+packet+ms }
		next := slices.IndexFunc(frames, func(f simtest.Frame) bool { return !fresh(f) })
		require.Equal(t, frames[next-1].At, at)
	}
}

// A channel that came to rest stays there until failsafe ends; one that goes to a
// preset was elsewhere right before.
func checkChannels(t *testing.T, h simtest.Played, frames []simtest.Frame) {
	numbers := map[string]int{"aileron": aileron, "elevator": elevator, "throttle": throttle, "gain": gain, "inner": inner, "outer": outer, "teach": learnSwitch}
	rests := map[string]string{}
	for _, x := range h.Sim.Truth() {
		if x.Kind != "channel" {
			continue
		}
		name, ours := strings.CutPrefix(x.About, "main/")
		require.True(t, ours)
		rests[name] = x.To
		number, at := numbers[name], slices.IndexFunc(frames, func(f simtest.Frame) bool { return f.At == x.At })
		require.GreaterOrEqual(t, at, 0, "a frame's date")
		rest := uint32(scale.Common.Count(x.Width))
		values := countsSeen(simtest.Between(frames, x.At, 20*second), number)
		switch x.To {
		case "moving":
			require.Greater(t, len(values), 20)
			continue
		case "held":
			require.Equal(t, h.When("frame", "main", "last-live")[0], x.At)
		case "preset":
			if name != "teach" {
				require.NotEqual(t, rest, frames[at-1].Counts[number])
			}
		}
		require.Equal(t, []uint32{rest}, values, name)
	}
	settles := len(h.When("failsafe", "main", "entered")) > 0 && len(h.When("bus", "main", "silent")) == 0
	require.Equal(t, settles, len(rests) == len(numbers), "%v", rests)
}

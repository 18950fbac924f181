package world_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

// faulty has steady hands, so that widths are exact; % are faults.
const faulty = `channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 988
channel 9 gain 1756 stops 1500 2012
` + simtest.ModeSwitches + simtest.Teach + `receiver main preset
preset main throttle 1000
preset main inner middle
hands steady
cutoff throttle 988
%
0s signal on
`

const (
	aileron, elevator, throttle     = 0, 1, 2
	gain, inner, outer, learnSwitch = 8, 10, 12, 14
)

// sight is what the bus shows at a time.
type sight struct {
	at      int64 // ms
	channel int
	width   int64 // us
}

// Each fault bends what the hands do; without it the bus shows something else.
func TestFaults(t *testing.T) {
	const (
		pairs  = "1s inner front\n2s outer front\n3s inner back\n4s end"
		swings = "1s stick aileron 988 over 300ms\n2s stick aileron 2012 over 300ms\n3s release aileron\n4s end"
		turns  = "1s stick gain 1500 over 300ms\n2s stick gain 2012 over 300ms\n3s stick gain 1756 over 300ms\n4s end"
		cuts   = "1s cut on\n1.1s stick throttle 2012 over 300ms\n2s cut off\n3s cut on\n4s end"
	)
	cases := []struct {
		fault, steps string
		want         []sight
	}{
		{"fault lands inner front 1660", pairs, []sight{{900, inner, 988}, {1900, inner, 1660}, {3900, inner, 988}}},
		{"fault lands teach rest 1200", "1s press teach for 300ms\n2s end", []sight{{900, learnSwitch, 1200}, {1200, learnSwitch, 2012}, {1900, learnSwitch, 1200}}},
		{"fault combo inner front outer back as inner front outer front", pairs,
			[]sight{{900, outer, 988}, {1900, inner, 2012}, {1900, outer, 2012}, {2900, outer, 2012}, {3900, inner, 988}}},
		{"fault combo inner front outer back as inner front outer front\nfault combo inner front outer front as inner front outer back", pairs,
			[]sight{{900, outer, 988}, {1900, outer, 2012}, {2900, outer, 988}, {3900, outer, 2012}}},
		{"fault combo inner front outer front as inner middle outer back", pairs,
			[]sight{{1900, inner, 2012}, {2900, inner, 1500}, {2900, outer, 988}}},
		{"fault range gain 988 2012", turns, []sight{{900, gain, 1500}, {1900, gain, 988}, {2900, gain, 2012}, {3900, gain, 1500}}},
		{"fault stuck gain 1500", turns, []sight{{900, gain, 1500}, {1900, gain, 1500}, {2900, gain, 1500}, {3900, gain, 1500}}},
		{"fault offset aileron 12", swings, []sight{{900, aileron, 1512}, {1900, aileron, 1000}, {2900, aileron, 2024}, {3900, aileron, 1512}}},
		{"fault offset aileron -12", swings, []sight{{900, aileron, 1488}, {2900, aileron, 2000}}},
		{"fault offset throttle 60", cuts, []sight{{900, throttle, 1048}, {1900, throttle, 1048}, {2900, throttle, 2072}, {3900, throttle, 1048}}},
		{"fault clip aileron 1040 1960", swings, []sight{{900, aileron, 1500}, {1900, aileron, 1040}, {2900, aileron, 1960}, {3900, aileron, 1500}}},
		{"fault scale aileron 75%", swings, []sight{{900, aileron, 1500}, {1900, aileron, 1116}, {2900, aileron, 1884}}},
		{"fault scale aileron 200%", swings, []sight{{900, aileron, 1500}, {1900, aileron, 880}}}, // the end of the scale
		{"fault reverse aileron", swings, []sight{{900, aileron, 1500}, {1900, aileron, 2012}, {2900, aileron, 988}}},
		{"fault swap aileron throttle", swings, []sight{{900, aileron, 988}, {900, throttle, 1500}, {1900, throttle, 988},
			{2900, throttle, 2012}, {2900, aileron, 988}}},
		{"fault mix aileron elevator 25%", swings, []sight{{900, elevator, 1500}, {1900, elevator, 1372}, {1900, aileron, 988}, {2900, elevator, 1628}}},
		{"fault mix aileron elevator -25%", swings, []sight{{1900, elevator, 1628}, {2900, elevator, 1372}}},
		{"fault memory throttle 990", swings, []sight{{900, inner, 1500}, {900, throttle, 990}, {1900, aileron, 1500}, {2900, aileron, 1500}}},
		{"fault memory", pairs, []sight{{900, throttle, 1500}, {1900, inner, 1500}, {2900, outer, 1500}}},
		{"fault cut ignored", cuts, []sight{{900, throttle, 988}, {1900, throttle, 2012}, {2900, throttle, 2012}, {3900, throttle, 2012}}},
		// In the order given, each on what those above left.
		{"fault offset aileron 100\nfault reverse aileron", swings, []sight{{900, aileron, 1400}, {1900, aileron, 1912}}},
		{"fault reverse aileron\nfault offset aileron 100", swings, []sight{{900, aileron, 1600}, {1900, aileron, 2112}}},
		{"fault memory\nfault offset aileron 10", swings, []sight{{900, aileron, 1510}, {1900, aileron, 1510}}},
	}
	for _, c := range cases {
		t.Run(c.fault, func(t *testing.T) {
			bent := simtest.Run(t, with(faulty, c.fault)+c.steps, 3).Frames(t, 0)
			right := simtest.Run(t, with(faulty, "")+c.steps, 3).Frames(t, 0)
			differ := 0
			for _, s := range c.want {
				got := simtest.Last(t, bent, s.at*ms).Counts[s.channel]
				assert.Equal(t, simtest.Count(s.width), got, "channel %d at %d ms", s.channel+1, s.at)
				if simtest.Last(t, right, s.at*ms).Counts[s.channel] != got {
					differ++
				}
			}
			assert.Positive(t, differ, "the fault shows")
		})
	}
}

func TestThrottleCut(t *testing.T) {
	h := simtest.Run(t, with(faulty, "")+"1s stick throttle 1700 over 300ms\n2s cut on\n2s cut on\n3s stick throttle 2012 over 300ms\n4s cut off\n5s end", 3)
	frames := h.Frames(t, 0)
	for at, width := range map[int64]int64{900: 988, 1900: 1700, 2900: 988, 3900: 988, 4900: 2012} {
		assert.Equal(t, simtest.Count(width), simtest.Last(t, frames, at*ms).Counts[throttle], "at %d ms", at)
	}
	assert.Equal(t, []int64{2 * second}, h.When("cut", "throttle", "on"))
	assert.Equal(t, []int64{4 * second}, h.When("cut", "throttle", "off"))
}

// A slow channel passes through all that lies between, at one speed.
func TestSlewPassesThroughAllBetween(t *testing.T) {
	h := simtest.Run(t, with(faulty, "fault slew inner 1s")+"1s inner front\n4s inner middle\n6s end", 3)
	frames := h.Frames(t, 0)
	seen := map[uint32]bool{}
	for i, f := range simtest.Between(frames, 100*ms, 6*second) {
		if i > 0 {
			step := int(f.Counts[inner]) - int(simtest.Last(t, frames, f.At-1).Counts[inner])
			require.LessOrEqual(t, max(step, -step), 2*16, "1024 us a second are 15 counts a packet")
		}
		seen[f.Counts[inner]] = true
	}
	assert.Greater(t, len(seen), 100)
	// The lever dwelt in the middle for less time than the channel took to get
	// there, so it is always under way.
	assert.InDelta(t, simtest.Count(1500), simtest.Last(t, frames, 1500*ms).Counts[inner], 32)
	assert.Equal(t, simtest.Count(2012), simtest.Last(t, frames, 2050*ms).Counts[inner])
	assert.NotEqual(t, simtest.Count(1500), simtest.Last(t, frames, 4450*ms).Counts[inner])
	assert.Equal(t, simtest.Count(1500), simtest.Last(t, frames, 4550*ms).Counts[inner])
}

// Two switches flipped together pass a third combination.
func TestLagPassesAThirdCell(t *testing.T) {
	const steps = "1s inner middle\n2s inner front\n2s outer front\n4s outer back\n4.1s outer front\n5s end"
	third := func(fault string) (frames int, first int64) {
		for _, f := range simtest.Run(t, with(faulty, fault)+steps, 3).Frames(t, 0) {
			if f.Counts[inner] == simtest.Count(2012) && f.Counts[outer] == simtest.Count(988) && f.At < 3*second {
				if frames == 0 {
					first = f.At
				}
				frames++
			}
		}
		return frames, first
	}
	frames, _ := third("")
	require.Zero(t, frames, "both switches move in one packet")
	frames, first := third("fault lags outer 400ms")
	assert.InDelta(t, 400/7, frames, 2)
	assert.InDelta(t, 2*second, first, float64(25*ms))

	// What was done comes as it was, late.
	late := simtest.Run(t, with(faulty, "fault lags outer 400ms")+steps, 3).Frames(t, 0)
	for at, width := range map[int64]int64{2380: 988, 2430: 2012, 4380: 2012, 4430: 988, 4480: 988, 4530: 2012} {
		assert.Equal(t, simtest.Count(width), simtest.Last(t, late, at*ms).Counts[outer], "at %d ms", at)
	}
}

func TestExtraPlace(t *testing.T) {
	h := simtest.Run(t, with(faulty, "fault extra teach middle 1500")+"1s press teach for 300ms\n3s teach middle\n5s press teach for 300ms\n7s end", 3)
	var widths []uint32
	for _, f := range simtest.Between(h.Frames(t, 0), 100*ms, 7*second) {
		if n := len(widths); n == 0 || widths[n-1] != f.Counts[learnSwitch] {
			widths = append(widths, f.Counts[learnSwitch])
		}
	}
	rest, middle, pressed := simtest.Count(988), simtest.Count(1500), simtest.Count(2012)
	assert.Equal(t, []uint32{rest, middle, pressed, middle, rest, middle, pressed, middle}, widths)
	assert.Len(t, h.When("switch", "teach", "middle"), 4)
	dwell := h.When("switch", "teach", "middle")[1] - h.When("switch", "teach", "pressed")[0]
	assert.Equal(t, 300*ms, dwell, "pressed for as long as without it")

	// A place beyond the last one, and one beyond the first.
	beyond := simtest.Run(t, with(faulty, "fault extra outer far 2100\nfault extra teach far 900")+"1s outer far\n2s teach pressed\n3s teach far\n5s end", 3)
	assert.Len(t, beyond.When("switch", "outer", "front"), 1, "passed on the way")
	assert.Len(t, beyond.When("switch", "teach", "rest"), 1, "passed on the way")
	press := simtest.Run(t, with(faulty, "fault extra teach far 2100")+"1s press teach for 300ms\n3s end", 3)
	assert.Empty(t, press.When("switch", "teach", "far"), "a press is of the places that were meant")
	assert.Len(t, press.When("switch", "teach", "pressed"), 1)
	end := simtest.Last(t, beyond.Frames(t, 0), 5*second)
	assert.Equal(t, []uint32{simtest.Count(2100), simtest.Count(900)}, []uint32{end.Counts[outer], end.Counts[learnSwitch]})
}

// A spike is in as many frames as the script says, and never in failsafe.
func TestSpikes(t *testing.T) {
	h := simtest.Run(t, with(faulty, "fault spike aileron 2012 every 1s for 3 frames")+"5.5s signal off\n10.2s signal on\n12.5s end", 3)
	runs := map[int64]int{}
	for _, f := range h.Frames(t, 0) {
		if f.Counts[aileron] != simtest.Count(1500) {
			require.Equal(t, simtest.Count(2012), f.Counts[aileron])
			require.Less(t, f.At%second, 30*ms)
			runs[f.At/second]++
		}
	}
	assert.Equal(t, map[int64]int{1: 3, 2: 3, 3: 3, 4: 3, 5: 3, 6: 3, 11: 3, 12: 3}, runs, "the failsafe begins at 6.4 s")
}

// At a hiccup many channels jump at once, without a flag, and return.
func TestHiccup(t *testing.T) {
	h := simtest.Run(t, with(faulty, "")+"1s stick throttle 1700 over 300ms\n2s inner front\n3s hiccup main for 400ms\n3.1s "+
		"stick aileron 1900 over 100ms\n5s end", 3)
	frames := h.Frames(t, 0)
	astray := simtest.Between(frames, 3004*ms, 3400*ms)
	assert.InDelta(t, 400/7, len(astray), 2)
	for _, f := range astray {
		require.Equal(t, simtest.Count(1000), f.Counts[throttle])
		require.Equal(t, simtest.Count(1500), f.Counts[inner])
		require.Equal(t, simtest.Count(1500), f.Counts[aileron], "stands still")
		require.Zero(t, f.Flags)
	}
	for _, f := range append(simtest.Between(frames, 2500*ms, 3*second), simtest.Between(frames, 3404*ms, 5*second)...) {
		require.Equal(t, simtest.Count(1700), f.Counts[throttle])
		require.Equal(t, simtest.Count(2012), f.Counts[inner])
		require.Zero(t, f.Flags)
	}
	assert.Equal(t, simtest.Count(1900), simtest.Last(t, frames, 5*second).Counts[aileron])
	assert.Equal(t, []int64{3 * second}, h.When("hiccup", "main", "began"))
	assert.Equal(t, []int64{3400 * ms}, h.When("hiccup", "main", "ended"))
}

// In failsafe the receiver is at its presets already; what holds stays held.
func TestHiccupInFailsafe(t *testing.T) {
	text := strings.Replace(faulty, "receiver main preset", "receiver main preset regain 2s", 1)
	h := simtest.Run(t, with(text, "")+"4s signal off\n6s stick aileron 1900 over 100ms\n7s signal on\n8s hiccup main for 500ms\n11s end", 3)
	left := h.When("failsafe", "main", "left")[1]
	require.Greater(t, left, 8600*ms)
	for _, f := range simtest.Between(h.Frames(t, 0), 6*second, left) {
		require.Equal(t, simtest.Count(1500), f.Counts[aileron])
	}
	assert.Equal(t, simtest.Count(1900), simtest.Last(t, h.Frames(t, 0), 11*second).Counts[aileron])
}

// The truth describes the hands, whatever comes of it.
func TestTruthTellsOfTheHands(t *testing.T) {
	const steps = "1s inner front\n2s stick aileron 1900 over 300ms\n3s end"
	bent, right := simtest.Run(t, with(faulty, "fault memory")+steps, 3), simtest.Run(t, with(faulty, "")+steps, 3)
	assert.Equal(t, right.Sim.Truth(), bent.Sim.Truth())
	assert.NotEqual(t, right.Bytes(0), bent.Bytes(0))
}

// Plays of one script don't share what faults remember.
func TestFaultsStartAnew(t *testing.T) {
	s := simtest.Parse(t, with(faulty, "fault slew inner 1s\nfault lags outer 400ms\nfault spike aileron 2012 every 1s for 3 frames")+
		"1s inner front\n1s outer front\n2s end")
	assert.Equal(t, simtest.Play(s, 3).Bytes(0), simtest.Play(s, 3).Bytes(0))
}

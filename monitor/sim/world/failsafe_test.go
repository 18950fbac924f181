package world_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/scale"
	"benchproof.example/monitor/sim/simtest"
)

// slack is what lies between the moment something is due in a receiver and the
// end of the frame that shows it.
const slack = 7*ms + 100*us + 3*ms

// preset12 goes to its presets when the signal goes at 12 s; % are options.
func preset12(options, more string) string {
	return wing + "receiver main preset " + options + "\npreset main throttle 988\npreset main inner middle\n" + more + loss
}

// since are dates counted from the last packet before the loss.
func since(h simtest.Played, dates []int64) []int64 {
	last := h.When("packet", "main", "last")[0]
	counted := make([]int64, len(dates))
	for i := range dates {
		counted[i] = dates[i] - last
	}
	return counted
}

func settled(h simtest.Played, channel string) []int64 {
	return since(h, h.When("channel", "main/"+channel, "preset"))
}

func TestHoldsBeforeThePresets(t *testing.T) {
	for seed := range uint64(3) {
		h := simtest.Run(t, preset12("after 600ms holds 500ms", ""), seed)
		flags, rests := since(h, h.When("flags", "main", "both")), settled(h, "throttle")
		require.Len(t, rests, 1)
		assert.InDelta(t, 600*ms, flags[len(flags)-1], float64(slack))
		assert.InDelta(t, 1100*ms, rests[0], float64(2*slack))
		assert.Equal(t, rests, settled(h, "inner"), "in one frame")
		last := h.When("packet", "main", "last")[0]
		held := simtest.Between(h.Frames(t, 0), last+20*ms, last+1090*ms)
		require.Greater(t, len(held), 140)
		assert.Equal(t, []uint32{simtest.Count(1400)}, countsSeen(held, throttle))
	}
}

// Silence comes after the flags.
func TestHoldsBeforeTheSilence(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main silent after 600ms holds 500ms\n"+loss, 1)
	silent := since(h, h.When("bus", "main", "silent"))
	require.Len(t, silent, 1)
	assert.InDelta(t, 1100*ms, silent[0], float64(2*slack))
	flagged := simtest.Between(h.Frames(t, 0), h.When("packet", "main", "last")[0]+620*ms, 13*second)
	assert.Equal(t, []string{"both"}, flagsSeen(flagged))
}

// A ramp goes down without a step back or a jump, and takes its time.
func TestRamp(t *testing.T) {
	h := simtest.Run(t, preset12("after 600ms ramp 400ms", ""), 2)
	rests, entered := settled(h, "throttle"), h.When("failsafe", "main", "entered")[0]
	assert.InDelta(t, 1000*ms, rests[0], float64(2*slack))
	way := simtest.Between(h.Frames(t, 0), entered, entered+450*ms)
	for i := 1; i < len(way); i++ {
		down := int(way[i-1].Counts[throttle]) - int(way[i].Counts[throttle])
		require.True(t, 0 <= down && down <= 13, "%d counts of 659 in 7 ms of 400", down)
	}
	assert.Equal(t, simtest.Count(1400), way[0].Counts[throttle])
	assert.Equal(t, simtest.Count(988), way[len(way)-1].Counts[throttle])
	assert.Greater(t, len(countsSeen(way, throttle)), 50)
}

// The two flags have their own times, and the presets wait for neither.
func TestFlagsLaterThanThePresets(t *testing.T) {
	h := simtest.Run(t, preset12("after 600ms misses 2s flagged 3s", ""), 3)
	lost, both := since(h, h.When("flags", "main", "lost")), since(h, h.When("flags", "main", "both"))
	require.Len(t, lost, 1)
	assert.InDelta(t, 2*second, lost[0], float64(slack))
	assert.InDelta(t, 3*second, both[len(both)-1], float64(slack))
	assert.InDelta(t, 600*ms, settled(h, "throttle")[0], float64(slack))
}

// A signal that is back before the flag was due leaves none.
func TestFlagThatNeverCame(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main hold after 600ms misses 3s flagged 3s regain 1s early none\n0s signal on\n3s signal off\n5s signal on\n8s end", 1)
	assert.Len(t, h.When("failsafe", "main", "entered"), 1)
	assert.Equal(t, []string{"none"}, flagsSeen(h.Frames(t, 0)))
}

// What is written as a range differs from seed to seed and keeps within it.
func TestRanges(t *testing.T) {
	var after, throttles []int64
	for seed := range uint64(40) {
		h := simtest.Run(t, wing+"receiver main preset after 500ms..900ms\npreset main throttle 1100..1300\n0s signal on\n"+
			"1s stick throttle 1400 over 300ms\n2s signal off\n4s end", seed)
		after = append(after, since(h, h.When("failsafe", "main", "entered"))[0])
		end := simtest.Last(t, h.Frames(t, 0), 4*second).Counts[throttle]
		throttles = append(throttles, scale.Common.Width(int64(end))/us)
		for _, x := range h.Sim.Truth() {
			if x.About == "main/throttle" {
				require.Equal(t, scale.Common.Width(int64(end)), x.Width)
			}
		}
	}
	for _, c := range []struct {
		got              []int64
		low, high, tenth int64
	}{{after, 500 * ms, 900*ms + slack, 60 * ms}, {throttles, 1099, 1301, 30}} {
		low, high := slices.Min(c.got), slices.Max(c.got)
		assert.True(t, c.low <= low && high <= c.high, "%d to %d", low, high)
		assert.True(t, low < c.low+c.tenth && high > c.high-c.tenth, "%d to %d", low, high)
	}
}

// Presets that live in the transmitter: at the first loss it holds, at the second
// one, 50 s after the transmitter was switched on again, it goes to them.
func TestTeach(t *testing.T) {
	text := wing + "receiver main preset\npreset main throttle 988\nteach main every 30s\n" +
		"0s signal on\n1s stick throttle 1400 over 600ms\n20s signal off\n24s signal on\n"
	h := simtest.Run(t, text+"74s signal off\n78s end", 5)
	taught := h.When("presets", "main", "taught")
	require.Len(t, taught, 1)
	assert.InDelta(t, 54*second, taught[0], float64(2*packet), "30 s after it was switched on again")
	assert.Len(t, h.When("channel", "main/throttle", "held"), 1)
	assert.Len(t, h.When("channel", "main/throttle", "preset"), 1)
	frames := h.Frames(t, 0)
	assert.Equal(t, []uint32{simtest.Count(1400)}, countsSeen(simtest.Between(frames, 22*second, 23*second), throttle))
	assert.Equal(t, []uint32{simtest.Count(988)}, countsSeen(simtest.Between(frames, 76*second, 78*second), throttle))

	h = simtest.Run(t, text+"53s signal off main\n55s signal on main\n90s end", 5)
	taught = h.When("presets", "main", "taught")
	require.Len(t, taught, 1)
	assert.InDelta(t, 84*second, taught[0], float64(2*packet), "a lesson that was missed comes again")
}

const beating = wing + "channel 16 beat 1500\nheartbeat beat 1200 1800 every 2s\n"

// What a second transmitter sends while the first is off.
func TestSecond(t *testing.T) {
	const beat = 15
	for _, c := range []struct {
		kind            string
		throttle, inner int64
		moves           []int
		stands          []int
	}{
		{"follows", 1400, 2012, []int{elevator, beat}, nil},
		{"holds", 1400, 2012, nil, []int{elevator, beat}},
		{"rests", 988, 988, nil, []int{elevator, beat}},
		{"moves", -1, 988, []int{elevator, throttle}, []int{beat}},
	} {
		h := simtest.Run(t, beating+"receiver main preset\npreset main inner middle\nsecond "+c.kind+"\n"+loss, 6)
		frames := simtest.Between(h.Frames(t, 0), 12*second+30*ms, 20*second)
		require.Equal(t, []string{"none"}, flagsSeen(frames), c.kind)
		require.Equal(t, []uint32{simtest.Count(c.inner)}, countsSeen(frames, inner), c.kind)
		if c.throttle >= 0 {
			require.Equal(t, []uint32{simtest.Count(c.throttle)}, countsSeen(frames, throttle), c.kind)
		}
		for _, number := range c.moves {
			require.Greater(t, len(countsSeen(frames, number)), 50, "%s %d", c.kind, number)
		}
		for _, number := range c.stands {
			require.Len(t, countsSeen(frames, number), 1, "%s %d", c.kind, number)
		}
		assert.Empty(t, h.When("failsafe", "main", "entered"))
		assert.Empty(t, h.When("packet", "main", "last"))
		on, off := h.When("signal", "second", "on"), h.When("signal", "second", "off")
		require.Len(t, on, 1)
		require.Len(t, off, 1)
		assert.InDelta(t, 12*second, on[0], float64(packet+ms))
		assert.InDelta(t, 20*second, off[0], float64(packet+ms))
		assert.Equal(t, []string{"both"}, flagsSeen(simtest.Between(h.Frames(t, 0), 0, 300*ms)), "not heard before the first")
	}
}

// A gap is flagged as lost; one longer than the time to failsafe ends one.
func TestSecondAfterAGap(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main hold\nsecond follows gap 400ms\n"+loss, 7)
	lost, none := since(h, h.When("flags", "main", "lost")), since(h, h.When("flags", "main", "none"))
	assert.InDelta(t, 10*ms, lost[0], float64(slack))
	assert.InDelta(t, 400*ms, none[1], float64(packet+slack))
	assert.Empty(t, h.When("failsafe", "main", "entered"))

	h = simtest.Run(t, wing+"receiver main hold after 500ms\nsecond follows gap 2s\n"+loss, 7)
	left := since(h, h.When("failsafe", "main", "left"))
	require.Len(t, left, 2)
	assert.InDelta(t, 2*second, left[1], float64(packet))
}

func TestRegainNever(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main hold regain never\n0s signal on\n2s signal off\n4s signal on\n8s power main off\n9s power main on\n12s end", 8)
	left := h.When("failsafe", "main", "left")
	require.Len(t, left, 2, "the first link counts, and that after its power-up")
	assert.InDelta(t, 0, left[0], float64(2*packet))
	assert.InDelta(t, 9175*ms, left[1], float64(125*ms+packet))
	frames := h.Frames(t, 0)
	assert.Equal(t, []string{"failsafe"}, flagsSeen(simtest.Between(frames, 4100*ms, 8*second)))
	assert.Equal(t, []string{"none"}, flagsSeen(simtest.Between(frames, 9500*ms, 12*second)))
}

// A receiver without power is silent; with power back it knows nothing.
func TestPower(t *testing.T) {
	text := wing + "receiver main preset early lost\npreset main throttle 988\nteach main every 2s\n" +
		"0s signal on\n1s stick throttle 1400 over 300ms\n3s signal off\n5s power main off\n5s power main off\n6s power main on\n10s end"
	boots := map[int64]bool{}
	for seed := range uint64(5) {
		h := simtest.Run(t, text, seed)
		assert.Equal(t, []int64{5 * second}, h.When("power", "main", "off"))
		assert.Equal(t, []int64{6 * second}, h.When("power", "main", "on"))
		frames := h.Frames(t, 0)
		assert.Equal(t, []uint32{simtest.Count(988)}, countsSeen(simtest.Between(frames, 4*second, 5*second), throttle), "taught")
		assert.Empty(t, simtest.Between(frames, 5*second+4*ms, 6050*ms))
		woken := simtest.Between(frames, 6*second, 10*second)
		assert.Equal(t, []uint32{simtest.Count(1500)}, countsSeen(woken, throttle), "taught no more, and heard nothing")
		assert.Equal(t, []string{"lost"}, flagsSeen(woken))
		assert.InDelta(t, 6175*ms, woken[0].At, float64(125*ms+slack))
		assert.Equal(t, []int64{woken[0].At}, h.When("bus", "main", "back"))
		boots[woken[0].At/ms] = true
		assert.Len(t, h.When("packet", "main", "last"), 1)
	}
	assert.Greater(t, len(boots), 3)
}

// A link before power goes and one after it are two, though no failsafe lies
// between them.
func TestPowerWhileLinked(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main hold\n0s signal on\n3s power main off\n4s power main on\n6s end", 12)
	first := h.When("frame", "main", "first-live")
	require.Len(t, first, 2)
	assert.InDelta(t, 4175*ms, first[1], float64(125*ms+packet+slack))
	assert.Empty(t, h.When("failsafe", "main", "entered"))
	assert.Empty(t, h.When("channel", "main/throttle", "held"), "it woke up where it is")
	assert.Len(t, h.When("packet", "main", "first"), 2)
}

// A link that no frame showed has no last live frame.
func TestLinkBetweenTwoFrames(t *testing.T) {
	for seed := range uint64(20) {
		h := simtest.Run(t, wing+"receiver main hold period 1s after 50ms\n1s signal on\n1.05s signal off\n5s end", seed)
		require.Len(t, h.When("failsafe", "main", "entered"), 1)
		require.Equal(t, len(h.When("frame", "main", "first-live")), len(h.When("frame", "main", "last-live")))
	}
}

// On a scale that falls, too, a range is one.
func TestPresetRangeOnAFallingScale(t *testing.T) {
	h := simtest.Run(t, "scale 0 2012 2047 988\nchannel 3 throttle 988\nreceiver main preset\npreset main throttle 1100..1300\n"+
		"0s signal on\n1s signal off\n3s end", 1)
	for _, x := range h.Sim.Truth() {
		if x.About == "main/throttle" {
			assert.InDelta(t, 1200*us, x.Width, float64(101*us))
		}
	}
	assert.Len(t, h.When("channel", "main/throttle", "preset"), 1)
}

// Before the first link a receiver may show something else than in failsafe.
func TestWakes(t *testing.T) {
	const more = "\npreset main throttle 1200\n2s signal on\n4s signal off\n8s end"
	for _, c := range []struct {
		options string
		flags   []string
		early   []uint32
		then    []string
	}{
		{"preset", []string{"both"}, []uint32{simtest.Count(1200)}, []string{"both"}},
		{"preset wakes neutral", []string{"both"}, []uint32{simtest.Count(1500)}, []string{"both"}},
		{"preset wakes silent", nil, []uint32{}, []string{"both"}},
		{"preset early none", []string{"none"}, []uint32{simtest.Count(1200)}, []string{"both"}},
		{"preset flags none early failsafe", []string{"failsafe"}, []uint32{simtest.Count(1200)}, []string{"none"}},
	} {
		frames := simtest.Run(t, wing+"receiver main "+c.options+more, 9).Frames(t, 0)
		early := simtest.Between(frames, 0, 2*second)
		assert.Equal(t, c.flags, flagsSeen(early), c.options)
		assert.Equal(t, c.early, countsSeen(early, throttle), c.options)
		gone := simtest.Between(frames, 6*second, 8*second)
		assert.Equal(t, c.then, flagsSeen(gone), c.options)
		assert.Equal(t, []uint32{simtest.Count(1200)}, countsSeen(gone, throttle), c.options)
	}
	frames := simtest.Run(t, wing+"receiver main silent wakes neutral\n2s signal on\n4s signal off\n8s end", 9).Frames(t, 0)
	assert.Equal(t, []uint32{simtest.Count(1500)}, countsSeen(simtest.Between(frames, 0, 2*second), throttle))
	assert.Empty(t, simtest.Between(frames, 6*second, 8*second))
}

// A transmitter that is switched on with controls away sends once they are home.
func TestWarning(t *testing.T) {
	h := simtest.Run(t, wing+"receiver main hold\nwarns throttle inner outer\n"+loss, 10)
	began, ended := h.When("warning", "transmitter", "began"), h.When("warning", "transmitter", "ended")
	require.Len(t, began, 1, "not at first, when all was home")
	require.Len(t, ended, 1)
	assert.InDelta(t, 20*second, began[0], float64(packet+ms))
	home := slices.Max(h.When("switch", "inner", "back"))
	assert.InDelta(t, home, ended[0], float64(packet+ms))
	assert.Equal(t, ended, h.When("packet", "main", "first")[1:])

	h = simtest.Run(t, wing+"receiver main hold\nwarns throttle\n0s signal on\n1s inner front\n2s signal off\n3s signal on\n4s end", 10)
	assert.Empty(t, h.When("warning", "transmitter", "began"), "it does not mind inner")
	assert.Len(t, h.When("packet", "main", "first"), 2)

	h = simtest.Run(t, wing+"receiver main hold\nwarns aileron\n0s signal on\n1s stick aileron 1480 over 300ms\n2s signal off\n3s signal on\n4s end", 10)
	assert.Len(t, h.When("warning", "transmitter", "began"), 1, "either way counts")
	assert.Empty(t, h.When("warning", "transmitter", "ended"))

	h = simtest.Run(t, wing+"receiver main hold\nwarns inner\n0s signal on\n1s inner front\n2s signal off\n3s signal on\n"+
		"4s signal off\n5s inner back\n6s signal on\n7s inner front\n8s end", 10)
	assert.Equal(t, []int64{4 * second}, h.When("warning", "transmitter", "ended"), "switched off while it warned")
	first := h.When("packet", "main", "first")
	require.Len(t, first, 2)
	assert.InDelta(t, 6*second, first[1], float64(packet+ms))
	assert.Equal(t, simtest.Count(2012), simtest.Last(t, h.Frames(t, 0), 8*second).Counts[inner], "once it sends it minds no more")
}

// A stabiliser before the tap moves its own channels, by so much, and no others.
func TestStabiliser(t *testing.T) {
	for _, when := range []string{"failsafe", "always"} {
		h := simtest.Run(t, wing+"receiver main preset\npreset main aileron 1600\nstabiliser main "+when+" aileron throttle within 30\n"+loss, 11)
		frames := h.Frames(t, 0)
		gone, still := simtest.Between(frames, 14*second, 20*second), simtest.Between(frames, 2*second, 6*second)
		for number, middle := range map[int]int64{aileron: 1600, throttle: 1400} {
			seen := countsSeen(gone, number)
			assert.Greater(t, len(seen), 30)
			assert.True(t, seen[0] >= simtest.Count(middle-30) && seen[len(seen)-1] <= simtest.Count(middle+30), "%d to %d", seen[0], seen[len(seen)-1])
		}
		assert.Len(t, countsSeen(gone, elevator), 1)
		if when == "always" {
			assert.Greater(t, len(countsSeen(still, aileron)), 30)
		} else {
			assert.Equal(t, []uint32{simtest.Count(1500)}, countsSeen(still, aileron))
		}
		assert.Len(t, h.When("channel", "main/aileron", "moving"), 1)
		assert.Len(t, h.When("channel", "main/elevator", "held"), 1)
	}
}

// It can't move a value off the scale.
func TestStabiliserAtTheRail(t *testing.T) {
	const text = "scale 0 988 2047 2012\nchannel 3 throttle 988\nreceiver main hold\nstabiliser main always throttle within 50\n0s signal on\n20s end"
	seen := countsSeen(simtest.Between(simtest.Run(t, text, 1).Frames(t, 0), second, 20*second), throttle)
	assert.Zero(t, seen[0])
	assert.LessOrEqual(t, seen[len(seen)-1], uint32(100))
}

package claim_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

func TestIDsAreStableAndUnique(t *testing.T) {
	c := starter(t)
	seen := map[string]bool{}
	for _, k := range c.book.Claims() {
		assert.False(t, seen[k.ID], k.ID)
		seen[k.ID] = true
		assert.Equal(t, claim.VerdictOpen, k.Verdict)
		assert.NotEmpty(t, k.Sentence)
		assert.NotEmpty(t, k.Settle, k.ID)
	}
	for _, id := range []string{
		"order/aileron", "alone/aileron", "travel/aileron/left", "clip/aileron", "neutral/aileron", "idle/throttle", "cut/throttle",
		"position/inner/front", "momentary/teach", "gain/span", "gain/fold", "gain/half",
		"mode/upright/front/back", "margin/upright/front/back", "passing/damping", "passing/no-mode",
		"gesture/limit-learning", "failsafe/flag", "failsafe/time", "failsafe/throttle", "link/missed", "link/moving", "link/spikes", "answers/controls",
	} {
		assert.True(t, seen[id], id)
	}
}

func TestPlaces(t *testing.T) {
	type seen struct {
		width   float64
		signal  event.Signal
		suspect bool
	}
	live := func(w ...float64) (s []seen) {
		for _, x := range w {
			s = append(s, seen{x, event.SignalLive, false})
		}
		return s
	}
	for _, x := range []struct {
		name   string
		stands []seen
		want   map[string]claim.Verdict // of position/inner/...
		says   string
	}{
		{"all where they belong", live(988.6, 1500.3, 2012), map[string]claim.Verdict{"back": claim.VerdictRight,
			"middle": claim.VerdictRight, "front": claim.VerdictRight}, ""},
		{"on the edge of the tolerance", live(1512, 1488), map[string]claim.Verdict{"middle": claim.VerdictRight}, ""},
		{"odd, and not clear which it is", live(1530), map[string]claim.Verdict{}, ""},
		{"odd, told by elimination", live(988, 2012, 1530),
			map[string]claim.Verdict{"back": claim.VerdictRight, "front": claim.VerdictRight, "middle": claim.VerdictWrong},
			"at middle inner stands at 1530 µs on the bus, 30 µs above the sheet's"},
		{"a window missed: front is where middle ends", live(988, 1500, 1650),
			map[string]claim.Verdict{"back": claim.VerdictRight, "middle": claim.VerdictRight, "front": claim.VerdictWrong},
			"at front inner stands at 1650 µs on the bus, 362 µs below the sheet's"},
		{"two odd, told by their order", live(1500, 1100, 1900), map[string]claim.Verdict{"middle": claim.VerdictRight,
			"back": claim.VerdictWrong, "front": claim.VerdictWrong}, ""},
		{"the same odd width again is one", live(1530, 1534, 988), map[string]claim.Verdict{"back": claim.VerdictRight}, ""},
		{"one too many", live(988, 1500, 2012, 1250), map[string]claim.Verdict{"back": claim.VerdictRight,
			"middle": claim.VerdictRight, "front": claim.VerdictRight}, ""},
		{"not the transmitter's", []seen{{988, event.SignalFailsafe, false}, {988, event.SignalMissed, false}, {988,
			event.SignalLive, true}}, map[string]claim.Verdict{}, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			for _, s := range x.stands {
				c.standsUnder("inner", s.width, s.signal, s.suspect)
			}
			if x.name == "one too many" {
				wrong := 0
				for _, p := range []string{"back", "middle"} {
					if k := c.claim("position/inner/" + p); k.Verdict == claim.VerdictWrong {
						wrong++
						assert.Contains(t, k.Sentence, "which is no place of the sheet's 3")
					}
				}
				assert.Equal(t, 1, wrong)
				return
			}
			for _, p := range []string{"back", "middle", "front"} {
				want, ok := x.want[p]
				if !ok {
					want = claim.VerdictOpen
				}
				k := c.claim("position/inner/" + p)
				assert.Equal(t, want, k.Verdict, p)
				if want == claim.VerdictWrong && x.says != "" {
					assert.Contains(t, k.Sentence, x.says)
					assert.Contains(t, k.Sentence, "in the transmitter")
				}
			}
		})
	}
}

func TestMomentary(t *testing.T) {
	for _, x := range []struct {
		name   string
		widths []float64
		want   claim.Verdict
	}{
		{"rests, is pressed and comes back", []float64{988, 2012, 988}, claim.VerdictRight},
		{"has not come back yet", []float64{988, 2012}, claim.VerdictOpen},
		{"never pressed", []float64{988}, claim.VerdictOpen},
		{"on a three-position switch", []float64{988, 1500, 2012, 988}, claim.VerdictWrong},
		{"the wrong rest", []float64{1100, 2012, 1100}, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			for _, w := range x.widths {
				c.stands("teach", w)
			}
			assert.Equal(t, x.want, c.verdict("momentary/teach"))
		})
	}
}

func TestModesAndMargins(t *testing.T) {
	c := starter(t)
	c.stands("inner", 2012)
	c.stands("outer", 988)
	c.asks(2012, 988)
	seen := c.now
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/upright/front/back"), "what rests there shows nothing")
	assert.Equal(t, "the bus asks for upright, but inner and outer was not seen to move: whatever rests there shows nothing; work its switch",
		c.claim("mode/upright/front/back").Sentence)
	c.works()
	k := c.claim("mode/upright/front/back")
	assert.Equal(t, claim.VerdictRight, k.Verdict)
	assert.Equal(t, "at inner front and outer back the bus asks for upright, 312 µs inside its window, which is from the manual", k.Sentence)
	assert.Equal(t, int64(312_000), k.Figures["margin_ns"])
	assert.Equal(t, []event.Span{{From: seen.Add(-200 * unit.Millisecond), To: seen}}, k.Evidence, "of the moment at which it was seen")
	assert.Equal(t, claim.VerdictRight, c.verdict("margin/upright/front/back"))
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/hold-course/front/front"), "nothing else was asked for")

	c = starter(t)
	c.asksUnder(2012, 988, event.SignalFailsafe, false, false)
	c.asksUnder(2012, 988, event.SignalLive, true, false)
	assert.Empty(t, c.verdicts(), "a receiver's presets prove nothing")
}

func TestAWindowMissedIsSeenOnceItIsClearWhichPositionItIs(t *testing.T) {
	c := starter(t)
	c.stands("inner", 1650)
	c.stands("outer", 988)
	c.asks(1650, 988)
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/upright/front/back"))
	c.stands("inner", 1500)
	c.asks(1500, 988)
	c.stands("inner", 988)
	c.asks(988, 988)
	k := c.claim("mode/upright/front/back")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "at inner front and outer back the bus asks for PLAIN, not for UPRIGHT")
	assert.Equal(t, claim.VerdictOpen, c.verdict("margin/upright/front/back"), "a margin needs the right mode")
	assert.Equal(t, claim.VerdictRight, c.verdict("mode/damping/back"))
}

func TestAMarginTooSmall(t *testing.T) {
	c := starter(t)
	c.works()
	for _, w := range []float64{988, 2012, 1620} {
		c.stands("inner", w)
	}
	c.stands("outer", 988)
	c.asks(1620, 988)
	assert.Equal(t, claim.VerdictRight, c.verdict("mode/plain/middle"))
	k := c.claim("margin/plain/middle")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "only 80 µs inside the window of plain, which is from the manual; the sheet wants 100 µs")
}

func TestTheModeDrillTellsASwappedCombination(t *testing.T) {
	c := starter(t)
	c.answers()
	c.did("mode/upright/front/back", map[int][]float64{11: {988, 2012}, 13: {988, 2012}})
	k := c.claim("mode/upright/front/back")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "the bus asks for HOLD-COURSE, not for UPRIGHT")
	c.did("mode/damping/back", map[int][]float64{11: {2012, 988}, 13: {2012, 988}})
	assert.Equal(t, claim.VerdictRight, c.verdict("mode/damping/back"))
	silent := c.answer("mode/plain/middle", nil)
	silent.Frames = 0
	c.hear(event.DrillAnswered, "drill:mode", silent)
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/plain/middle"), "nothing was heard")
}

func TestSticks(t *testing.T) {
	left, right := map[int][]float64{1: {1500, 988}}, map[int][]float64{1: {1500, 2012}}
	for _, x := range []struct {
		name string
		did  map[string]map[int][]float64
		want map[string]claim.Verdict
		says string
	}{
		{"right", map[string]map[int][]float64{"order/aileron/left": left, "order/aileron/right": right, "ends/aileron/left": left, "ends/aileron/right": right},
			map[string]claim.Verdict{"order/aileron": claim.VerdictRight, "alone/aileron": claim.VerdictRight,
				"travel/aileron/left": claim.VerdictRight, "travel/aileron/right": claim.VerdictRight, "clip/aileron": claim.VerdictRight,
				"answers/controls": claim.VerdictRight}, ""},
		{"half of the order is not enough", map[string]map[int][]float64{"order/aileron/left": left},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"reversed", map[string]map[int][]float64{"order/aileron/left": right, "ends/aileron/left": right},
			map[string]claim.Verdict{"order/aileron": claim.VerdictWrong, "answers/controls": claim.VerdictRight},
			"the wrong way: reverse the channel"},
		{"swapped", map[string]map[int][]float64{"order/aileron/left": {2: {1500, 988}},
			"order/aileron/right": {2: {988, 2012}}, "order/aileron/neutral": {2: {2012, 1500}},
			"ends/aileron/left": {2: {1500, 988}}},
			map[string]claim.Verdict{"order/aileron": claim.VerdictWrong, "answers/controls": claim.VerdictRight},
			"moved channel 2 (elevator) by 512 µs instead of channel 1"},
		{"another control, once", map[string]map[int][]float64{"order/aileron/left": {2: {1500, 988}},
			"order/aileron/neutral": {2: {988, 1500}}}, map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"a mix", map[string]map[int][]float64{"order/aileron/left": {1: {1500, 988}, 4: {1500, 1350}},
			"order/aileron/right":   {1: {988, 2012}, 4: {1350, 1650}},
			"order/aileron/neutral": {1: {2012, 1500}, 4: {1650, 1500}}},
			map[string]claim.Verdict{"order/aileron": claim.VerdictRight, "alone/aileron": claim.VerdictWrong,
				"answers/controls": claim.VerdictRight}, "also moved channel 4 (rudder) by 150 µs: switch the mix off"},
		{"a tremor is no mix", map[string]map[int][]float64{"order/aileron/left": {1: {1500, 988}, 4: {1500, 1441}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"a tremor the wrong way is no movement", map[string]map[int][]float64{"order/aileron/left": {1: {1500, 1559}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"short", map[string]map[int][]float64{"ends/aileron/left": {1: {1500, 1012.1}}},
			map[string]claim.Verdict{"travel/aileron/left": claim.VerdictWrong, "answers/controls": claim.VerdictRight},
			"reaches only 1012.1 µs at left, 24.1 µs short"},
		{"long", map[string]map[int][]float64{"ends/aileron/right": {1: {1500, 2100}}},
			map[string]claim.Verdict{"travel/aileron/right": claim.VerdictWrong, "answers/controls": claim.VerdictRight},
			"88 µs further than the sheet's"},
		{"short, while another stick is held over",
			map[string]map[int][]float64{"ends/aileron/left": {1: {1500, 1147}, 4: {988, 988}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"held there already, while a switch was moved",
			map[string]map[int][]float64{"order/aileron/left": {1: {988, 988}, 11: {988, 2012}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"at its stop already, while a switch was moved",
			map[string]map[int][]float64{"ends/aileron/left": {1: {988, 988}, 11: {988, 2012}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"beyond its end, and farther still", map[string]map[int][]float64{"ends/aileron/left": {1: {860, 780}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"a throttle that rests at the other end", map[string]map[int][]float64{"ends/throttle/idle": {3: {1009, 1990}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight}, ""},
		{"within twice the tolerance", map[string]map[int][]float64{"ends/aileron/left": {1: {1500, 1012}}},
			map[string]claim.Verdict{"travel/aileron/left": claim.VerdictRight, "answers/controls": claim.VerdictRight}, ""},
		{"neutral off by 12 µs", map[string]map[int][]float64{"neutral/sticks": {1: {1512}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight, "neutral/aileron": claim.VerdictWrong,
				"neutral/elevator": claim.VerdictRight, "neutral/rudder": claim.VerdictRight}, "12 µs from the sheet's 1500 µs: centre its trim"},
		{"neutral just right", map[string]map[int][]float64{"neutral/sticks": {1: {1508}, 2: {1492}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight, "neutral/aileron": claim.VerdictRight,
				"neutral/elevator": claim.VerdictRight, "neutral/rudder": claim.VerdictRight}, ""},
		{"idle plus trim in place of cut",
			map[string]map[int][]float64{"neutral/idle": {3: {1010}}, "neutral/cut": {3: {1030}}},
			map[string]claim.Verdict{"answers/controls": claim.VerdictRight, "idle/throttle": claim.VerdictRight, "cut/throttle": claim.VerdictWrong},
			"with throttle cut on throttle stands at 1030 µs, 42 µs from the sheet's 988 µs: set the throttle cut"},
		{"cut that the stick breaks", map[string]map[int][]float64{"neutral/cut-full": {3: {988, 2012}}},
			map[string]claim.Verdict{"cut/throttle": claim.VerdictWrong, "answers/controls": claim.VerdictRight},
			"with throttle cut on and the stick fully up"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.answers()
			for _, p := range []string{"order/aileron/left", "order/aileron/right", "order/aileron/neutral", "ends/aileron/left",
				"ends/aileron/right", "neutral/sticks", "neutral/idle", "neutral/cut", "neutral/cut-full"} {
				if m, ok := x.did[p]; ok {
					c.did(p, m)
				}
			}
			assert.Equal(t, x.want, c.verdicts())
			for id, v := range x.want {
				if v == claim.VerdictWrong {
					assert.Contains(t, c.claim(id).Sentence, x.says)
				}
			}
		})
	}
}

func TestCutOffTravel(t *testing.T) {
	c := starter(t)
	c.hear(event.TravelClipped, "channel:1", event.TravelClippedData{Tap: "main", Channel: 1, Count: 1700,
		WidthNS: 1_942_500, DwellNS: 400 * unit.Millisecond, Signal: event.SignalLive, Short: true, Again: true})
	assert.Equal(t, claim.VerdictWrong, c.verdict("clip/aileron"))
	assert.Contains(t, c.claim("clip/aileron").Sentence, "came to 1942.5 µs at a steady pace, stood exactly still for 0.40 s")
	c = starter(t)
	c.hear(event.TravelClipped, "channel:1", event.TravelClippedData{Tap: "main", Channel: 1, Count: 2047, WidthNS: 2_159_375, Signal: event.SignalFailsafe})
	assert.Equal(t, claim.VerdictOpen, c.verdict("clip/aileron"))
	c.hear(event.TravelClipped, "channel:1", event.TravelClippedData{Tap: "main", Channel: 1, Count: 2047, WidthNS: 2_159_375, Signal: event.SignalLive})
	assert.Equal(t, claim.VerdictWrong, c.verdict("clip/aileron"))
	assert.Contains(t, c.claim("clip/aileron").Sentence, "2047 counts (2159.4 µs)")
}

func TestMixesThatAreWanted(t *testing.T) {
	c := open(t, `sheet: 1
model: M
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  4: {name: rudder, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
mixes_wanted: [{from: aileron, to: rudder, at_most: 160 us}]
`)
	c.did("order/aileron/left", map[int][]float64{1: {1500, 988}, 4: {1500, 1340}})
	c.did("order/aileron/right", map[int][]float64{1: {988, 2012}, 4: {1340, 1661}})
	assert.Equal(t, claim.VerdictOpen, c.verdict("alone/aileron"))
	c.did("order/aileron/neutral", map[int][]float64{1: {2012, 1500}, 4: {1661, 1500}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("alone/aileron"))
	assert.Equal(t, "aileron also moved channel 4 (rudder) by 161 µs (the sheet wants 160 µs at most): make the mix "+
		"smaller in the transmitter, or raise its at_most in the sheet's mixes_wanted", c.claim("alone/aileron").Sentence)
}

func TestGain(t *testing.T) {
	sweep := func(c *court, from, to, least, most float64) {
		c.hear(event.GainSwept, "channel:9", event.GainSweptData{Tap: "main", Channel: 9, FromNS: unit.Width(from * 1000),
			ToNS: unit.Width(to * 1000), LeastNS: unit.Width(least * 1000), MostNS: unit.Width(most * 1000), Signal: event.SignalLive})
	}
	c := starter(t)
	sweep(c, 1756, 1500, 1500, 1756)
	assert.Equal(t, claim.VerdictOpen, c.verdict("gain/span"))
	sweep(c, 1500, 2012, 1500, 2012)
	assert.Equal(t, claim.VerdictRight, c.verdict("gain/span"))
	assert.Equal(t, claim.VerdictRight, c.verdict("gain/fold"))
	assert.Equal(t, claim.VerdictOpen, c.verdict("gain/half"))
	c.did("gain/centre", map[int][]float64{9: {2012, 1760}})
	assert.Equal(t, claim.VerdictRight, c.verdict("gain/half"))

	c = starter(t) // a plain knob
	sweep(c, 1500, 988, 988, 1500)
	assert.Equal(t, claim.VerdictWrong, c.verdict("gain/span"))
	assert.Equal(t, claim.VerdictOpen, c.verdict("gain/fold"))
	sweep(c, 988, 2012, 988, 2012)
	assert.Equal(t, claim.VerdictWrong, c.verdict("gain/fold"))
	assert.Contains(t, c.claim("gain/fold").Sentence, "no gain at all, in the middle of its turn: give it a curve")
	c.did("gain/centre", map[int][]float64{9: {2012, 1500}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("gain/half"))

	c = starter(t) // stuck at zero
	c.did("gain/clockwise", map[int][]float64{9: {1500}})
	assert.Equal(t, claim.VerdictOpen, c.verdict("gain/span"), "nothing has answered yet")
	c.answers()
	c.did("gain/clockwise", map[int][]float64{9: {1500}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("gain/span"))
	assert.Contains(t, c.claim("gain/span").Sentence, "gain fully clockwise stands at 1500 µs")
}

func TestGestures(t *testing.T) {
	made := event.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3, SpanNS: 2 * unit.Second, Signal: event.SignalLive}
	for name, x := range map[string]struct {
		change func(*event.GestureData)
		want   claim.Verdict
	}{
		"outside its drill": {func(*event.GestureData) {}, claim.VerdictWrong},
		"in its drill":      {func(d *event.GestureData) { d.InDrill = true }, claim.VerdictOpen},
		"in a failsafe":     {func(d *event.GestureData) { d.Signal = event.SignalFailsafe }, claim.VerdictOpen},
		"after a jump":      {func(d *event.GestureData) { d.Suspect = true }, claim.VerdictOpen},
	} {
		t.Run(name, func(t *testing.T) {
			c := starter(t)
			d := made
			x.change(&d)
			c.hear(event.GestureMade, "switch:teach", d)
			assert.Equal(t, x.want, c.verdict("gesture/limit-learning"))
		})
	}
}

func TestFailsafe(t *testing.T) {
	c := starter(t)
	c.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: true})
	assert.Empty(t, c.verdicts(), "flags before the link are neither proof nor fault")
	c.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{LiveNS: 1, AfterNS: 1_500_000_001})
	was := []unit.Width{1700_000, 1300_000, 1400_000, 1600_000, 0, 0, 0, 0, 2000_000, 0, 2012_000, 0, 988_000, 0, 988_000, 0}
	c.hear(event.FailsafeSettled, "tap:main", event.FailsafeSettledData{Tap: "main", Was: was, Now: was})
	assert.Empty(t, c.verdicts(), "a loss is judged when it is over")
	c.loses(func(d *event.LossData) { d.FailsafeNS = 1_500_000_000 })
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/flag"))
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/time"))
	c.loses(func(d *event.LossData) { d.FailsafeNS, d.Flag = 1_500_000_001, event.FlagClassLate })
	assert.Equal(t, claim.VerdictWrong, c.verdict("failsafe/time"))

	for _, x := range []struct {
		name    string
		channel int
		now     unit.Width
		want    claim.Verdict
	}{
		{"aileron", 1, 1700_000, claim.VerdictRight}, {"aileron", 1, 1713_000, claim.VerdictWrong}, {"aileron", 1, 1712_000, claim.VerdictRight},
		{"throttle", 3, 988_000, claim.VerdictRight}, {"throttle", 3, 1012_000, claim.VerdictRight}, {"throttle", 3, 1013_000,
			claim.VerdictWrong}, {"throttle", 3, 1400_000, claim.VerdictWrong},
		{"gain", 9, 1756_000, claim.VerdictRight}, {"gain", 9, 1500_000, claim.VerdictWrong},
		{"inner", 11, 1500_000, claim.VerdictRight}, {"inner", 11, 2012_000, claim.VerdictWrong},
		{"teach", 15, 988_000, claim.VerdictOpen}, {"teach", 15, 2012_000, claim.VerdictWrong},
	} {
		c := starter(t)
		c.loses(func(d *event.LossData) { d.Channels[x.channel-1] = became(was[x.channel-1], x.now) })
		assert.Equal(t, x.want, c.verdict("failsafe/"+x.name), "%s at %d", x.name, x.now)
	}
	c = starter(t)
	c.loses(func(d *event.LossData) {
		d.Channels[14] = event.LossChannel{Class: event.LossUnclear, WasNS: 988_000, NowNS: 988_000}
	})
	assert.Contains(t, c.claim("failsafe/teach").Sentence, text.PresetOrHold)
}

// became is what a channel did that stood somewhere and then elsewhere; one that stayed
// at its rest may have been preset.
func became(was, now unit.Width) event.LossChannel {
	x := event.LossChannel{Class: event.LossPreset, WasNS: was, NowNS: now}
	switch {
	case now == was && now == 988_000:
		x.Class = event.LossUnclear
	case now == was:
		x.Class = event.LossHold
	}
	return x
}

func TestNothingAnswers(t *testing.T) {
	c := starter(t)
	for _, p := range []string{"neutral/sticks", "order/aileron/left", "order/aileron/right"} {
		c.did(p, nil)
	}
	assert.Equal(t, claim.VerdictOpen, c.verdict("answers/controls"))
	c.did("order/elevator/back", nil)
	k := c.claim("answers/controls")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "select this model's memory in the transmitter")

	c = starter(t)
	c.stands("inner", 2012)
	assert.Equal(t, claim.VerdictRight, c.verdict("answers/controls"))
	for range 5 {
		c.did("order/aileron/left", nil)
	}
	assert.Equal(t, claim.VerdictRight, c.verdict("answers/controls"), "a control that answers shows the right memory")
}

func TestAnswersThatProveNothing(t *testing.T) {
	for name, change := range map[string]func(*event.DrillAnsweredData){
		"nothing was heard": func(d *event.DrillAnsweredData) { d.Frames = 0 },
		"missed":            func(d *event.DrillAnsweredData) { d.Signal = event.SignalMissed },
		"failsafe":          func(d *event.DrillAnsweredData) { d.Signal = event.SignalFailsafe },
		"after a jump":      func(d *event.DrillAnsweredData) { d.Suspect = true },
	} {
		t.Run(name, func(t *testing.T) {
			c := starter(t)
			for _, p := range []string{"order/aileron/left", "ends/aileron/left", "neutral/sticks", "gain/centre", "gain/clockwise", "mode/upright/front/back"} {
				d := c.answer(p, map[int][]float64{1: {1500, 2100}, 2: {1500, 1700}, 9: {1500, 988}})
				change(&d)
				c.hear(event.DrillAnswered, "drill:x", d)
			}
			assert.Empty(t, c.verdicts())
		})
	}
}

func TestReopening(t *testing.T) {
	c := starter(t)
	c.answers()
	c.toAndFro("inner")
	c.toAndFro("outer")
	c.did("neutral/sticks", map[int][]float64{1: {1520}})
	require.Equal(t, claim.VerdictWrong, c.verdict("neutral/aileron"))
	c.did("neutral/sticks", nil)
	assert.Equal(t, claim.VerdictWrong, c.verdict("neutral/aileron"), "right now and then is wrong")
	c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
	assert.Equal(t, claim.VerdictStale, c.verdict("position/inner/back"))
	assert.Equal(t, claim.VerdictRight, c.verdict("position/outer/back"))
	c.stands("inner", 988)
	assert.Equal(t, claim.VerdictStale, c.verdict("position/inner/back"), "it is to be worked anew")
	c.toAndFro("inner")
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/back"))
	c.hear(event.Mark, "session", event.MarkData{Text: "went for tea"})
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/back"))
	c.hear(event.Mark, "session", event.MarkData{Text: claim.Changed})
	assert.Equal(t, claim.VerdictStale, c.verdict("position/inner/back"))
	assert.Equal(t, claim.VerdictOpen, c.verdict("neutral/aileron"))
	c.did("neutral/sticks", nil)
	assert.Contains(t, c.claim("neutral/aileron").Sentence, "move a stick or a switch first")
	c.answers()
	c.did("neutral/sticks", nil)
	assert.Equal(t, claim.VerdictRight, c.verdict("neutral/aileron"))
	assert.Subset(t, claim.Topics(c.sheet), []string{"everything", "failsafe", "inner"})
}

func TestEvidenceIsKeptButNotWithoutEnd(t *testing.T) {
	c := starter(t)
	for range 9 {
		c.toAndFro("inner")
	}
	k := c.claim("position/inner/back")
	require.Len(t, k.Evidence, 4)
	assert.Equal(t, c.now, k.Evidence[3].To)
	assert.Equal(t, c.now.Add(-6*unit.Second), k.Evidence[0].To)
}

func TestStateOfAnotherSheetIsRefused(t *testing.T) {
	raw, err := json.Marshal(starter(t).book)
	require.NoError(t, err)
	other := open(t, "sheet: 1\nmodel: M\nchannels:\n  1: {name: a, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n")
	require.ErrorContains(t, json.Unmarshal(raw, other.book), "another sheet")
	require.ErrorContains(t, json.Unmarshal([]byte(`{"claims":3}`), other.book), "state of the claims")
}

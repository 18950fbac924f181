package claim_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

// The window of upright begins at 1700 µs of inner and ends at 1500 µs of outer;
// the sheet wants 100 µs inside.
func TestMargins(t *testing.T) {
	for _, x := range []struct {
		name    string
		a, b    float64
		margin  int64
		verdict claim.Verdict
	}{
		{"of the one switch", 2012, 988, 312_000, claim.VerdictRight},
		{"exactly as much as is wanted", 1800, 988, 100_000, claim.VerdictRight},
		{"a little less", 1799, 988, 99_000, claim.VerdictWrong},
		{"of the other switch, to its upper edge", 2012, 1400, 100_000, claim.VerdictRight},
		{"and less", 2012, 1401, 99_000, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.answers()
			c.works()
			c.did("mode/upright/front/back", map[int][]float64{11: {x.a}, 13: {x.b}})
			assert.Equal(t, claim.VerdictRight, c.verdict("mode/upright/front/back"))
			assert.Equal(t, x.verdict, c.verdict("margin/upright/front/back"))
			assert.Equal(t, x.margin, c.claim("margin/upright/front/back").Figures["margin_ns"])
		})
	}
}

// A mode of two cells: the margin is that of the cell that holds.
func TestMarginOfTheCellThatHolds(t *testing.T) {
	text := strings.Replace(string(sheettest.TwoSwitches()), "when: [{inner: [0, 1300]}]", "when: [{inner: [0, 900]}, {inner: [900, 1300]}]", 1)
	c := open(t, text)
	c.stands("inner", 988)
	c.asks(988, 988)
	assert.Equal(t, int64(88_000), c.claim("margin/damping/back").Figures["margin_ns"])
}

func TestTheModeDrillNeedsHands(t *testing.T) {
	c := starter(t)
	c.did("mode/damping/back", map[int][]float64{11: {2012}, 13: {988}})
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/damping/back"), "nothing has answered yet")
	c.answers()
	c.did("mode/damping/back", map[int][]float64{11: {2012}, 13: {988}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("mode/damping/back"))
}

// tour goes from mode to mode so that each is left or come to without any other.
func (c *court) tour() {
	damping, off, upright, knife := [2]float64{988, 988}, [2]float64{1500, 988}, [2]float64{2012, 988}, [2]float64{2012, 2012}
	for _, at := range [][2]float64{damping, off, upright, knife, damping, upright, damping, knife, off} {
		c.asks(at[0], at[1])
	}
}

func TestWhatIsPassed(t *testing.T) {
	type step struct {
		a, b    float64
		passing bool
	}
	at := func(a, b float64) step { return step{a, b, false} }
	by := func(a, b float64) step { return step{a, b, true} }
	for _, x := range []struct {
		name  string
		steps []step
		wrong string // of passing/..., all others right
	}{
		{"a lever by its own middle", []step{at(988, 988), by(1500, 988), at(2012, 988)}, ""},
		{"between two places", []step{at(988, 988), by(1400, 988), at(2012, 988)}, "plain"},
		{"beyond both ends", []step{at(988, 988), by(2012, 988), at(1500, 988)}, "upright"},
		{"two switches, one after the other", []step{at(988, 988), by(2012, 988), at(2012, 2012)}, "upright"},
		{"to and fro within a mode", []step{at(2012, 988), by(1500, 988), at(2024, 988)}, ""},
		{"what was passed before is over", []step{at(988, 988), by(1400, 988), at(2012, 988), at(988, 988)}, "plain"},
		{"what is arrived at, in two parts", []step{at(988, 988), by(2012, 988), at(2012, 988)}, ""},
		{"what is left, in two parts", []step{at(988, 988), by(1000, 988), at(2012, 988)}, ""},
		{"a touch that came back, before a change", []step{at(988, 988), by(1400, 988), at(988, 988), at(2012, 988)}, ""},
		{"nothing before the first", []step{by(1400, 988), at(2012, 988)}, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.placed()
			for _, s := range x.steps {
				c.asksUnder(s.a, s.b, event.SignalLive, false, s.passing)
			}
			c.tour()
			for _, name := range []string{"damping", "plain", "upright", "hold-course", "no-mode"} {
				want := claim.VerdictRight
				if name == x.wrong {
					want = claim.VerdictWrong
				}
				assert.Equal(t, want, c.verdict("passing/"+name), name)
			}
		})
	}
}

// A lever passes its middle; where that lies is not known until it was seen at its place.
func TestAMiddleThatWasNotSeenYetIsNoDetour(t *testing.T) {
	change := func(c *court) {
		c.asks(988, 988)
		c.asksUnder(1287, 988, event.SignalLive, false, true)
		c.asks(2012, 988)
		c.asksUnder(1400, 988, event.SignalLive, false, true)
		c.asks(988, 988)
	}
	c := starter(t)
	change(c)
	assert.Equal(t, claim.VerdictOpen, c.verdict("passing/plain"))
	assert.Contains(t, c.claim("passing/plain").Sentence, "where middle of inner lies is not seen right yet")
	c.placed()
	c.tour()
	assert.Equal(t, claim.VerdictRight, c.verdict("passing/plain"), "all changes anew")
	change(c)
	assert.Equal(t, claim.VerdictWrong, c.verdict("passing/plain"))
}

// A touch that may have been a middle takes back what changes before it showed of that
// mode, of no other.
func TestADoubtfulTouchTakesBackWhatWasSeenBefore(t *testing.T) {
	c := starter(t)
	c.asks(988, 988)
	c.asks(2012, 2012)
	c.asks(988, 988)
	c.asksUnder(1400, 988, event.SignalLive, false, true) // perhaps the middle of inner, in PLAIN
	c.asks(2012, 988)
	c.asks(988, 988)
	assert.Equal(t, claim.VerdictOpen, c.verdict("passing/plain"))
	assert.Contains(t, c.claim("passing/plain").Sentence, "still to be left or come to: hold-course")
	assert.Contains(t, c.claim("passing/no-mode").Sentence, "still to be left or come to: plain")
}

// That nothing was passed takes a change from or to each wanted mode that was watched.
func TestHowManyChangesShowThatNothingWasPassed(t *testing.T) {
	for name, x := range map[string]struct {
		hear func(*court)
		want claim.Verdict
		says string
	}{
		"one of them": {func(c *court) { c.asks(988, 988); c.asks(2012, 988) }, claim.VerdictOpen,
			"the changes seen did not pass through NO MODE (no window of the sheet) for 4 frames or more on their way (150 ms " +
				"at rest are no passing but a mode asked for); the last was from DAMPING to UPRIGHT; still to be left or come to: " +
				"plain, hold-course"},
		"all but one": {func(c *court) {
			for _, at := range [][2]float64{{988, 988}, {2012, 988}, {2012, 2012}, {988, 988}} {
				c.asks(at[0], at[1])
			}
		}, claim.VerdictOpen, "still to be left or come to: plain"},
		"all":                      {func(c *court) { c.tour() }, claim.VerdictRight, ""},
		"that is not asked for":    {func(c *court) { c.asks(988, 988) }, claim.VerdictOpen, "no change from one wanted mode"},
		"in a failsafe":            {func(c *court) { c.blindly(event.FailsafeEntered, event.FailsafeData{}) }, claim.VerdictOpen, ""},
		"in a silence":             {func(c *court) { c.blindly(event.BusSilent, event.SilentData{}) }, claim.VerdictOpen, ""},
		"while the tap was gone":   {func(c *court) { c.blindly(event.TapDown, event.ReasonData{}) }, claim.VerdictOpen, ""},
		"in a loss without a flag": {func(c *court) { c.blindly(event.LossMeasured, event.LossData{}) }, claim.VerdictOpen, ""},
		"between two sittings":     {func(c *court) { c.blindly(event.SessionResumed, event.SessionData{}) }, claim.VerdictOpen, ""},
		"by the receiver":          {func(c *court) { c.blindly(event.ModeAsked, event.ModeData{Tap: "main", Signal: event.SignalFailsafe}) }, claim.VerdictOpen, ""},
	} {
		c := starter(t)
		x.hear(c)
		assert.Equal(t, x.want, c.verdict("passing/no-mode"), name)
		assert.Contains(t, c.claim("passing/no-mode").Sentence, x.says, name)
	}
}

// A change from or to a mode says nothing of passing through that one.
func TestAChangeFromOrToAModePassesItNot(t *testing.T) {
	damping, others := [2]float64{988, 988}, [][2]float64{{1500, 988}, {2012, 988}, {2012, 2012}}
	for name, left := range map[string]bool{"left for each other": true, "come to from each other": false} {
		c := starter(t)
		for _, other := range others {
			change := [][2]float64{other, damping}
			if left {
				slices.Reverse(change)
			}
			c.asks(change[0][0], change[0][1])
			c.asks(change[1][0], change[1][1])
			c.hear(event.BusSilent, "tap:main", event.SilentData{}) // the way back is not watched
		}
		assert.Equal(t, claim.VerdictOpen, c.verdict("passing/damping"), name)
		assert.Equal(t, "no change from one wanted mode to another passes through DAMPING on its way", c.claim("passing/damping").Sentence, name)
	}
}

// A stand that was not believed leaves open where the next change began: it blames nobody.
func TestAChangeWhoseBeginningWasNotHeardBlamesNobody(t *testing.T) {
	for name, unheard := range map[string]func(*court){
		"a stand among missed frames": func(c *court) { c.asksUnder(1500, 988, event.SignalMissed, false, false) },
		"a silence":                   func(c *court) { c.hear(event.BusSilent, "tap:main", event.SilentData{}) },
		"a failsafe":                  func(c *court) { c.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{}) },
	} {
		c := starter(t)
		c.placed()
		c.asks(988, 988)
		c.asksUnder(1400, 988, event.SignalLive, false, true)
		unheard(c)
		c.asks(2012, 988)
		assert.Equal(t, claim.VerdictOpen, c.verdict("passing/plain"), name)
		c.asksUnder(1400, 988, event.SignalLive, false, true)
		c.asks(988, 988)
		assert.Equal(t, claim.VerdictWrong, c.verdict("passing/plain"), "the next is watched again: "+name)
	}
}

// The screen says "passed through" of each touch; the claim says which of them it allows.
func TestWhatMayBePassedIsSaid(t *testing.T) {
	c := starter(t)
	c.asks(988, 988)
	c.asksUnder(1500, 988, event.SignalLive, false, true)
	c.asks(2012, 988)
	assert.Contains(t, c.claim("passing/plain").Sentence,
		"the changes seen passed through PLAIN only where a lever passed a position of its own")
	assert.Contains(t, c.claim("passing/no-mode").Sentence,
		"the changes seen did not pass through NO MODE (no window of the sheet) for 4 frames or more on their way (150 ms "+
			"at rest are no passing but a mode asked for)")
	c.tour()
	assert.Contains(t, c.claim("passing/plain").Sentence, "only where a lever passed a position of its own")
}

// blindly changes from mode to mode while the bus is not heard live.
func (c *court) blindly(kind string, data any) {
	for _, at := range [][2]float64{{988, 988}, {1500, 988}, {2012, 988}, {2012, 2012}, {988, 988}} {
		c.hear(kind, "tap:main", data)
		c.asks(at[0], at[1])
	}
}

// A channel that rests where a switch would put it shows nothing until it moved, and
// what was seen before counts from then on, of drills too.
func TestModesOfChannelsThatNeverMoved(t *testing.T) {
	const mode, margin = "mode/plain/middle", "margin/plain/middle"
	drill := func(c *court) { c.answers(); c.did(mode, map[int][]float64{11: {1500}, 13: {988}}) }
	for name, x := range map[string]struct {
		hear func(*court)
		want claim.Verdict
	}{
		"at rest":       {func(c *court) { c.stands("inner", 1500); c.asks(1500, 988) }, claim.VerdictOpen},
		"trembling":     {func(c *court) { c.asks(1500, 988); c.asks(1510, 988); c.asks(1519.9, 988); c.stands("inner", 1500) }, claim.VerdictOpen},
		"another moved": {func(c *court) { c.stands("inner", 1500); c.asks(1500, 988); c.asks(1500, 2012) }, claim.VerdictOpen},
		"it moved":      {func(c *court) { c.stands("inner", 1500); c.asks(1500, 988); c.asks(1520, 988) }, claim.VerdictRight},
		"a receiver moved it": {func(c *court) {
			c.stands("inner", 1500)
			c.asks(1500, 988)
			c.asksUnder(2012, 988, event.SignalFailsafe, false, false)
		}, claim.VerdictOpen},
		"in the drill":                    {drill, claim.VerdictOpen},
		"in the drill, and then it moved": {func(c *court) { drill(c); c.asks(988, 988) }, claim.VerdictRight},
		"the drill moved it": {func(c *court) {
			drill(c)
			c.did("mode/damping/back", map[int][]float64{11: {1500, 988}, 13: {988}})
		}, claim.VerdictRight},
		"reopened after it moved": {func(c *court) { c.works(); c.reopens("inner"); c.stands("inner", 1500); c.asks(1500, 988) }, claim.VerdictOpen},
		"reopened":                {func(c *court) { drill(c); c.reopens("inner"); c.asks(988, 988); c.asks(2012, 988) }, claim.VerdictOpen},
	} {
		c := starter(t)
		x.hear(c)
		assert.Equal(t, x.want, c.verdict(mode), name)
		assert.Equal(t, x.want, c.verdict(margin), name)
	}
	c := starter(t)
	drill(c)
	c.did("mode/damping/back", map[int][]float64{11: {1500}, 13: {988}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("mode/damping/back"), "what is wrong where the builder says that it stands is wrong")
}

// What led from one to the next is reported once, of the change that it belongs to.
func TestPassingSaysWhichChange(t *testing.T) {
	c := starter(t)
	c.placed()
	c.asks(988, 988)
	c.asksUnder(1400, 988, event.SignalLive, false, true)
	c.asks(2012, 988)
	c.asks(988, 988)
	k := c.claim("passing/plain")
	assert.Len(t, k.Evidence, 1)
	assert.Contains(t, k.Sentence, "the change from DAMPING to UPRIGHT passed through PLAIN (inner 1400 µs, outer 988 µs)")
}

func TestModesReopened(t *testing.T) {
	odd := func(what string) claim.Verdict { // stands at 1650 µs, which elimination later shows to be the front
		c := starter(t)
		c.stands("inner", 1650)
		c.stands("outer", 988)
		c.asks(1650, 988)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		for _, w := range []float64{1500, 988, 1650} {
			c.stands("inner", w)
		}
		c.stands("outer", 988)
		return c.verdict("mode/upright/front/back")
	}
	assert.Equal(t, claim.VerdictWrong, odd("gain"))
	assert.Equal(t, claim.VerdictOpen, odd("inner"), "what it asked for before says nothing now")
	assert.Equal(t, claim.VerdictOpen, odd(claim.TopicAll))

	for what, want := range map[string]claim.Verdict{"gain": claim.VerdictWrong, claim.TopicAll: claim.VerdictOpen} {
		c := starter(t)
		c.placed()
		c.asks(988, 988)
		c.asksUnder(1400, 988, event.SignalLive, false, true)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.asks(2012, 988)
		assert.Equal(t, want, c.verdict("passing/plain"), what)
	}
	for what, want := range map[string]claim.Verdict{"gain": claim.VerdictRight, "inner": claim.VerdictStale, claim.TopicAll: claim.VerdictStale} {
		c := starter(t)
		c.tour()
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.asks(2012, 2012)
		c.asks(988, 988)
		assert.Equal(t, want, c.verdict("passing/no-mode"), "the changes before do not count: "+what)
	}
}

// A width beside one that was seen before is another: it is judged by itself.
func TestWidthsBesideAreOthers(t *testing.T) {
	c := starter(t)
	c.works()
	for _, w := range []float64{988, 1500} {
		c.stands("inner", w)
	}
	c.stands("outer", 988)
	c.asks(2012, 988)
	c.asks(1750, 988)
	assert.Equal(t, claim.VerdictRight, c.verdict("margin/upright/front/back"))
	c.stands("inner", 1750) // by elimination the front
	assert.Equal(t, claim.VerdictWrong, c.verdict("margin/upright/front/back"))
}

// A fixed channel chooses the mode without ever moving.
func TestAFixedChannelOfAModeNeedNotMove(t *testing.T) {
	c := open(t, `sheet: 1
model: Table
channels:
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
  13: {name: outer, kind: fixed, value: 988}
stabiliser:
  windows: {from: guess}
  modes:
    damping:   {when: [{inner: [0, 1300], outer: [0, 1300]}], wanted_at: [{inner: back, outer: value}]}
    upright: {when: [{inner: [1700, 3000], outer: [0, 1300]}]}
`)
	c.stands("outer", 988)
	for _, w := range []float64{2012, 988} {
		c.stands("inner", w)
		c.asks(w, 988)
	}
	assert.Equal(t, claim.VerdictRight, c.verdict("mode/damping/back/value"))
}

// A switch that wanders fills no memory.
func TestAWanderingSwitchIsForgotten(t *testing.T) {
	c := starter(t)
	c.works() // two
	for n := range 100 {
		c.asks(700+13*float64(n), 988)
	}
	c.stands("inner", 988)
	c.stands("inner", 1500)
	c.stands("outer", 988)
	c.stands("inner", 1870) // by elimination the front; asked for as the 91st
	assert.Equal(t, claim.VerdictOpen, c.verdict("mode/upright/front/back"))
}

package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// The window of levelling begins at 1700 µs of sel-a and ends at 1500 µs of sel-b;
// the sheet wants 100 µs inside.
func TestMargins(t *testing.T) {
	for _, x := range []struct {
		name    string
		a, b    float64
		margin  int64
		verdict claim.Verdict
	}{
		{"of the one switch", 2012, 988, 312_000, claim.Right},
		{"exactly as much as is wanted", 1800, 988, 100_000, claim.Right},
		{"a little less", 1799, 988, 99_000, claim.Wrong},
		{"of the other switch, to its upper edge", 2012, 1400, 100_000, claim.Right},
		{"and less", 2012, 1401, 99_000, claim.Wrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.did("limit-learning/ready", map[int][]float64{6: {1500, 1700}})
			c.did("mode/levelling/front/back", map[int][]float64{10: {x.a}, 11: {x.b}})
			assert.Equal(t, claim.Right, c.verdict("mode/levelling/front/back"))
			assert.Equal(t, x.verdict, c.verdict("margin/levelling/front/back"))
			assert.Equal(t, x.margin, c.claim("margin/levelling/front/back").Figures["margin_ns"])
		})
	}
}

// A mode of two cells: the margin is that of the cell that holds.
func TestMarginOfTheCellThatHolds(t *testing.T) {
	text := strings.Replace(string(sheet.Starter()), "when: [{sel-a: [0, 1300]}]", "when: [{sel-a: [0, 900]}, {sel-a: [900, 1300]}]", 1)
	c := open(t, text)
	c.stands("sel-a", 988)
	c.asks(988, 988)
	assert.Equal(t, int64(88_000), c.claim("margin/damped/back").Figures["margin_ns"])
}

func TestTheModeDrillNeedsHands(t *testing.T) {
	c := starter(t)
	c.did("mode/damped/back", map[int][]float64{10: {2012}, 11: {988}})
	assert.Equal(t, claim.Open, c.verdict("mode/damped/back"), "nothing has answered yet")
	c.answers()
	c.did("mode/damped/back", map[int][]float64{10: {2012}, 11: {988}})
	assert.Equal(t, claim.Wrong, c.verdict("mode/damped/back"))
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
		want  map[string]claim.Verdict // of passing/...
	}{
		{"a lever by its own middle", []step{at(988, 988), by(1500, 988), at(2012, 988)}, map[string]claim.Verdict{"unstabilised": claim.Right, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"between two places", []step{at(988, 988), by(1400, 988), at(2012, 988)}, map[string]claim.Verdict{"unstabilised": claim.Wrong, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"beyond both ends", []step{at(988, 988), by(2012, 988), at(1500, 988)}, map[string]claim.Verdict{"levelling": claim.Wrong, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"to and fro within a mode", []step{at(2012, 988), by(1500, 988), at(2024, 988)}, map[string]claim.Verdict{}},
		{"what was passed before is over", []step{at(988, 988), by(1400, 988), at(2012, 988), at(988, 988)}, map[string]claim.Verdict{"unstabilised": claim.Wrong, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"what is arrived at, in two parts", []step{at(988, 988), by(2012, 988), at(2012, 988)}, map[string]claim.Verdict{"unstabilised": claim.Right, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"what is left, in two parts", []step{at(988, 988), by(1000, 988), at(2012, 988)}, map[string]claim.Verdict{"unstabilised": claim.Right, "no-mode": claim.Right, "knife-edge": claim.Right}},
		{"nothing before the first", []step{by(1400, 988), at(2012, 988)}, map[string]claim.Verdict{}},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			for _, s := range x.steps {
				c.asksUnder(s.a, s.b, fact.Live, false, s.passing)
			}
			got := map[string]claim.Verdict{}
			for id, v := range c.verdicts() {
				if name, ok := strings.CutPrefix(id, "passing/"); ok {
					got[name] = v
				}
			}
			assert.Equal(t, x.want, got)
		})
	}
}

// What led from one to the next is told once, of the change that it belongs to.
func TestPassingSaysWhichChange(t *testing.T) {
	c := starter(t)
	c.asks(988, 988)
	c.asksUnder(1400, 988, fact.Live, false, true)
	c.asks(2012, 988)
	c.asks(988, 988)
	k := c.claim("passing/unstabilised")
	assert.Len(t, k.Evidence, 1)
	assert.Contains(t, k.Sentence, "the change from DAMPED to LEVELLING passed through UNSTABILISED (sel-a 1400 µs, sel-b 988 µs)")
}

func TestModesReopened(t *testing.T) {
	odd := func(what string) claim.Verdict { // stands at 1650 µs, which elimination later shows to be the front
		c := starter(t)
		c.stands("sel-a", 1650)
		c.stands("sel-b", 988)
		c.asks(1650, 988)
		c.hear(fact.Reopened, "session", fact.ReopenData{What: what})
		for _, w := range []float64{1500, 988, 1650} {
			c.stands("sel-a", w)
		}
		c.stands("sel-b", 988)
		return c.verdict("mode/levelling/front/back")
	}
	assert.Equal(t, claim.Wrong, odd("gain"))
	assert.Equal(t, claim.Open, odd("sel-a"), "what it asked for before says nothing now")
	assert.Equal(t, claim.Open, odd(claim.Everything))

	for what, want := range map[string]claim.Verdict{"gain": claim.Wrong, claim.Everything: claim.Open} {
		c := starter(t)
		c.asks(988, 988)
		c.asksUnder(1400, 988, fact.Live, false, true)
		c.hear(fact.Reopened, "session", fact.ReopenData{What: what})
		c.asks(2012, 988)
		assert.Equal(t, want, c.verdict("passing/unstabilised"), what)
	}
}

// A width beside one that was seen before is another: it is judged by itself.
func TestWidthsBesideAreOthers(t *testing.T) {
	c := starter(t)
	for _, w := range []float64{988, 1500} {
		c.stands("sel-a", w)
	}
	c.stands("sel-b", 988)
	c.asks(2012, 988)
	c.asks(1750, 988)
	assert.Equal(t, claim.Right, c.verdict("margin/levelling/front/back"))
	c.stands("sel-a", 1750) // by elimination the front
	assert.Equal(t, claim.Wrong, c.verdict("margin/levelling/front/back"))
}

// A switch that wanders fills no memory.
func TestAWanderingSwitchIsForgotten(t *testing.T) {
	c := starter(t)
	for n := range 100 {
		c.asks(700+13*float64(n), 988)
	}
	c.stands("sel-a", 988)
	c.stands("sel-a", 1500)
	c.stands("sel-b", 988)
	c.stands("sel-a", 1870) // by elimination the front; asked for as the 91st
	assert.Equal(t, claim.Open, c.verdict("mode/levelling/front/back"))
}

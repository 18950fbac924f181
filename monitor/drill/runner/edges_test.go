package runner_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// knob is a rig at the first step of the drill of edges, from damping (which kicks back) to plain (which does nothing), and
// the receiver behind it.
type knob struct {
	*rig
	at, edge int64 // µs: of the knob, and where the receiver changes
	swings   unit.Width
}

const firstEdge = "edges/inner/damping/plain/up"

func turns(t *testing.T, edge int64) *knob {
	k := &knob{rig: newRig(t, starter(t, "\nstabiliser:\n", "\nstabiliser:\n  measure: [edges]\n")), at: 988, edge: edge, swings: 60_000}
	k.set("inner", k.at)
	k.start(drill.Edges)
	k.hear(2 * unit.Second)
	k.done()
	k.to(1500)
	k.to(988)
	k.hear(unit.Second)
	require.Equal(t, "edges/inner/knob", k.done().Prompt)
	k.said()
	return k
}

// to turns the knob to a width, µs.
func (k *knob) to(us int64) {
	step := int64(10)
	if us < k.at {
		step = -step
	}
	k.ramp("inner", k.at, us, step)
	k.at = us
}

// stands has the knob stand while the model is rocked, as long as a look takes.
func (k *knob) stands() {
	k.rocks(1_500_000, unit.Second)
	swung := unit.Width(1_500_000)
	if k.at < k.edge {
		swung += k.swings
	}
	k.rocks(swung, 500*unit.Millisecond)
	k.rocks(1_500_000, unit.Second)
}

// rocks has the elevator's output at a width, and the others at rest.
func (k *knob) rocks(width unit.Width, d unit.Duration) {
	k.pulses(d, lead{1, 1_500_000, 0}, lead{2, width, 0}, lead{4, 1_500_000, 0})
}

// looks types a key.
func (k *knob) looks(key string) {
	k.input(event.DrillStep{Drill: drill.Edges, Do: event.StepDone, Words: key})
}

// sees types the right key.
func (k *knob) sees() {
	k.stands()
	k.looks(map[bool]string{true: "a", false: "b"}[k.at < k.edge])
}

// ends sees what stands at both ends of the way.
func (k *knob) ends() {
	k.sees()
	k.to(1500)
	k.sees()
	k.said()
}

// from turns the knob to where the way starts and then on.
func (k *knob) from(us int64) {
	k.to(988)
	k.hear(100 * unit.Millisecond)
	k.to(us)
}

// hint is why nothing was taken of the latest key, "" where it was.
func (k *knob) hint() string {
	why := ""
	for _, e := range k.events {
		switch d := e.Data.(type) {
		case event.DrillHintData:
			why = d.Why
		case event.DrillAnsweredData:
			why = ""
		}
	}
	k.events = nil
	return why
}

// found is what came of the edge, nil where nothing did.
func (k *knob) found() *event.EdgeMeasuredData {
	for _, e := range k.events {
		if d, ok := e.Data.(event.EdgeMeasuredData); ok {
			return &d
		}
	}
	return nil
}

// What is typed where nothing can be told by it answers nothing; and what is meant counts the second time.
func TestWhenAStepAnswersNothing(t *testing.T) {
	for _, c := range []struct {
		name  string
		looks func(k *knob)
		why   string // "": it counts
	}{
		{"all is well", func(k *knob) { k.from(1250); k.sees() }, ""},
		{"no key", func(k *knob) { k.from(1250); k.stands(); k.looks("yes") }, `got "yes", want a key: a and Enter`},
		{"nothing typed", func(k *knob) { k.from(1250); k.stands(); k.looks("") }, "want a key: a and Enter"},
		{"the name of a mode", func(k *knob) { k.from(1250); k.stands(); k.looks("Damping") }, ""},
		{"turned just now", func(k *knob) { k.from(1250); k.hear(unit.Second); k.looks("a") }, "inner was turned just now"},
		{"swaying as far as a knob may", func(k *knob) { k.from(1240); k.stands(); k.set("inner", 1245); k.stands(); k.looks("a") }, ""},
		{"swaying farther", func(k *knob) {
			k.from(1240)
			k.hear(2 * unit.Second)
			k.set("inner", 1250)
			k.hear(unit.Second)
			k.looks("a")
		}, "turned just now"},
		{"at an end again", func(k *knob) { k.stands(); k.looks("b") }, "inner stands at 1500 µs: turn it to where it is asked for"},
		{"past what is known", func(k *knob) { k.from(1515); k.hear(100 * unit.Millisecond); k.to(1250); k.stands(); k.looks("a") }, "inner went past, to 1515 µs"},
		{"not from where the way starts", func(k *knob) { k.to(1250); k.stands(); k.looks("a") }, "inner did not come from about 988 µs or below"},
		{"not quite from there", func(k *knob) { k.to(1000); k.hear(100 * unit.Millisecond); k.to(1250); k.stands(); k.looks("a") }, ""},
		{"nor from here", func(k *knob) { k.to(1010); k.hear(100 * unit.Millisecond); k.to(1250); k.stands(); k.looks("a") }, "inner did not come from"},
		{"behind a hole", func(k *knob) { k.from(1250); k.stands(); k.pass(2 * unit.Second); k.stands(); k.looks("a") }, "inner did not come from"},
		{"without a transmitter", func(k *knob) { k.from(1250); k.hearing.Signal = event.SignalLost; k.stands(); k.looks("a") },
			"the receiver does not hear its transmitter"},
		{"many channels leapt", func(k *knob) { k.from(1250); k.hearing.Suspect = true; k.stands(); k.looks("a") }, "many channels leapt at once"},
		{"outputs stood in a mode that answers", func(k *knob) { k.swings = 11_000; k.from(1250); k.stands(); k.looks("a") },
			"no output moved meanwhile, and DAMPING answers"},
		{"outputs went in a mode that does nothing", func(k *knob) { k.from(1250); k.stands(); k.looks("b") },
			"an output went by 60 µs meanwhile, and PLAIN does nothing"},
		{"outputs that went a little show neither", func(k *knob) { k.swings = 20_000; k.from(1250); k.stands(); k.looks("b") }, ""},
		{"it can't be told", func(k *knob) { k.from(1250); k.stands(); k.looks("?") }, ""},
		{"leads that are silent show nothing", func(k *knob) { k.from(1250); k.hear(3 * unit.Second); k.looks("a") }, ""},
		{"nor do those of one axis alone", func(k *knob) { k.from(1250); k.pulses(3*unit.Second, lead{1, 1_500_000, 0}); k.looks("a") }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := turns(t, 1300)
			k.ends()
			c.looks(k)
			if c.why == "" {
				assert.Empty(t, k.hint())
				return
			}
			assert.Contains(t, k.hint(), c.why)
		})
	}
}

// At the ends of a way the sheet knows what is there: another key is asked about once, and the same one ends the way.
func TestAnEndThatIsNotAsTheSheetHasIt(t *testing.T) {
	for _, c := range []struct {
		name  string
		looks func(k *knob)
		hint  string
		why   string
	}{
		{"where it starts", func(k *knob) { k.edge = 900; k.stands(); k.looks("b") }, "the sheet has DAMPING there",
			"at 988 µs, where the sheet has DAMPING, the surfaces did not answer so"},
		{"where it ends", func(k *knob) { k.edge = 1600; k.sees(); k.to(1500); k.stands(); k.looks("a") }, "the sheet has PLAIN there",
			"at 1500 µs, where the sheet has PLAIN, the surfaces did not answer so"},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := turns(t, 1300)
			k.torn = true
			c.looks(k)
			assert.Contains(t, k.hint(), c.hint)
			assert.Nil(t, k.found())
			k.looks(map[bool]string{true: "a", false: "b"}[k.at < k.edge])
			d := k.found()
			require.NotNil(t, d)
			assert.Equal(t, c.why, d.Up.Why)
			assert.Nil(t, d.Down, "what was not found from below is not looked for from above")
			assert.Zero(t, d.FromNS)
			prompt, _ := k.runner.Standing()
			assert.NotContains(t, prompt, "damping/plain", "the next edge is looked for")
		})
	}
}

// way looks until the way is done, from a home on one side to the far end, as its prompts ask.
func (k *knob) way(home, end int64) {
	prompt, _ := k.runner.Standing()
	k.to(home)
	k.sees()
	k.to(end)
	k.sees()
	near, far := home, end
	for range 20 {
		if now, _ := k.runner.Standing(); now != prompt {
			return
		}
		middle := (near + far) / 2 / 5 * 5
		k.to(home)
		k.hear(100 * unit.Millisecond)
		k.to(middle)
		k.sees()
		if (middle < k.edge) == (home < k.edge) {
			near = middle
		} else {
			far = middle
		}
	}
	require.Fail(k.t, "the way ends", k.said())
}

// Both ways give what lies between, whoever is asked; it counts as shown where the leads showed the same.
func TestAnEdgeFromBothSides(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(k *knob)
		agrees bool
	}{
		{"one place", func(*knob) {}, true},
		{"held on to a little", func(k *knob) { k.edge -= 5 }, true},
		{"held on to", func(k *knob) { k.edge -= 30 }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := turns(t, 1333)
			k.way(988, 1500)
			k.torn = true
			k.hear(50 * unit.Millisecond)
			k.torn = false
			c.change(k)
			rises := k.edge
			k.way(1500, 988)
			d := k.found()
			require.NotNil(t, d)
			require.Empty(t, d.Up.Why+d.Down.Why)
			assert.Equal(t, c.agrees, d.Agrees, "%+v", d)
			for _, x := range []struct {
				way  *event.EdgeWay
				edge int64
			}{{&d.Up, 1333}, {d.Down, rises}} {
				assert.LessOrEqual(t, x.way.FromNS, unit.Width(x.edge*1000))
				assert.GreaterOrEqual(t, x.way.ToNS, unit.Width(x.edge*1000))
				assert.LessOrEqual(t, x.way.ToNS-x.way.FromNS, unit.Width(10_000))
				assert.Equal(t, x.way.Looks, x.way.Shown, "the leads showed the same at each look")
				assert.Zero(t, x.way.Against)
			}
			assert.Equal(t, c.agrees, len(d.Lines) == 2 && strings.HasPrefix(d.Lines[0], "damping: when: [{inner: [0, 13"), d.Lines)
		})
	}
}

// Who looks may stand by what the leads do not show: it is counted.
func TestALookAgainstTheLeadsIsCounted(t *testing.T) {
	k := turns(t, 1300)
	k.ends()
	k.swings = 0
	k.from(1250)
	k.stands()
	k.looks("a")
	require.Contains(t, k.hint(), "no output moved")
	k.looks("b")
	require.Empty(t, k.hint(), "another key is another answer, and shows what the leads do")
	k.from(1125)
	k.stands()
	k.looks("a")
	k.looks("a")
	require.Empty(t, k.hint())
	k.swings = 60_000
	for at := int64(1180); k.found() == nil; {
		prompt, _ := k.runner.Standing()
		if prompt != firstEdge {
			break
		}
		k.from(at)
		k.sees()
		at += 7
	}
	k.way(1500, 988)
	d := k.found()
	require.NotNil(t, d)
	assert.Equal(t, int64(1), d.Up.Against)
	assert.Zero(t, d.Down.Against)
}

// What the knob reached on its way may have been the far mode's beginning: the edge lies up to there.
func TestTheEdgeLiesUpToWhereTheKnobWas(t *testing.T) {
	k := turns(t, 1300)
	k.ends()
	k.from(1325)
	k.hear(100 * unit.Millisecond)
	k.to(1315)
	k.sees()
	require.Empty(t, k.hint())
	k.from(1320)
	k.sees()
	assert.Empty(t, k.hint())
}

// Four looks at which it can't be told end a way.
func TestLooksThatTellNothingEndAWay(t *testing.T) {
	k := turns(t, 1300)
	k.ends()
	for n := range 4 {
		assert.Nil(t, k.found())
		k.from([]int64{1250, 1125, 1375, 1185}[n])
		k.stands()
		k.looks("?")
		require.NotContains(t, k.said(), "drill.hint")
	}
	prompt, _ := k.runner.Standing()
	assert.NotContains(t, prompt, "damping/plain")
}

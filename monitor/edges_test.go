package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// stepper is a builder who steps a knob from mode to mode.
type stepper struct {
	*builder
	text     string // of the sheet
	hands    operator.Operator
	measured []event.EdgeMeasuredData
	found    map[string]event.EdgeMeasuredData // by the name of the edge
	verdicts []event.VerdictData
	hints    []string

	work    []string                               // what is done with the switches first
	slip    func(*stepper, string, *operator.Step) // changes what hands do, nil: nothing
	wrongAt int                                    // the look, from 1, whose key is the other one
	looks   int
	breaks  bool // it is broken off
	knob    int  // µs, where it was turned to
}

// knobbed is the model of the starter with a knob on the channel of its modes, in lines of a script.
var knobbed = func() string {
	before, rest, _ := strings.Cut(simtest.Reedwing, "channel 7 aid 1330\n")
	_, after, _ := strings.Cut(rest, "place aid fourth 1930\n")
	return before + "channel 7 aid 1330 stops 980 2020\n" + after
}()

// edgesAt are where a receiver changes from mode to mode, µs.
type edgesAt [3]int

func steps(t *testing.T, at edgesAt, setup string, seed uint64) *stepper {
	text := strings.Replace(string(sheet.Starter()), "  margin: 100 us", "  measure: [edges]\n  margin: 100 us", 1)
	before, rest, ok := strings.Cut(reedwing, "gyro off when aid 0 1180\n")
	require.True(t, ok && rest != "")
	before = strings.Replace(before, "preset main aid first", "preset main aid 1040", 1)
	gyro := fmt.Sprintf("gyro off when aid 0 %d\ngyro rate when aid %d %d\ngyro level when aid %d %d\ngyro course when aid %d 3000\n",
		at[0], at[0], at[1], at[1], at[2], at[2])
	s := stepsOn(t, text, knobbed+before+gyro+airframes[0].mixes+setup, seed)
	s.work = []string{"aid first", "aid second", "aid third", "aid fourth", "aid second"}
	return s
}

// stepsOn has a builder above a sheet and a bench whose mode channels have knobs.
func stepsOn(t *testing.T, text, bench string, seed uint64) *stepper {
	s := &stepper{builder: aboveSheet(t, []byte(text), bench), text: text, found: map[string]event.EdgeMeasuredData{}}
	s.sim.KeepTruth = true
	s.rng = rand.New(rand.NewPCG(seed, 7))
	s.engine = engine.New(s.sheet, func(e *event.Event, _ int64) {
		d, over := e.Data.(event.DrillEndedData)
		if over && d.How != "finished" {
			s.t.Log(s.hands.Text, s.hints[max(0, len(s.hints)-2):])
		}
		if !over || !s.breaks {
			s.hears(e)
		}
		s.takes(e)
	})
	s.at, s.beat = 0, unit.Second
	s.begin()
	s.asks = true
	s.hands = operator.Operator{Sheet: s.sheet, Rand: s.rng}
	return s
}

func (s *stepper) takes(e *event.Event) {
	switch d := e.Data.(type) {
	case event.DrillPromptedData:
		s.hands.Text = d.Text
	case event.EdgeMeasuredData:
		s.found[d.Edge] = d
		s.measured = append(s.measured, d)
	case event.DrillHintData:
		s.hints = append(s.hints, d.Why)
	case event.VerdictData:
		s.verdicts = append(s.verdicts, d)
	}
}

// shown is the mode, in the words of the sheet, that the stabiliser is in.
func (s *stepper) shown() string {
	mode := "off"
	for _, fact := range s.sim.Truth() {
		if fact.Kind == "gyro" {
			mode = fact.To
		}
	}
	return map[string]string{"off": "plain", "rate": "damping", "level": "upright", "course": "hold-course"}[mode]
}

// follows does the drill to its end, and gives the claims.
func (s *stepper) follows() map[string]*claim.Claim {
	s.do("signal on")
	s.run(3 * unit.Second)
	for _, lever := range s.work {
		s.do("%s", s.byHand(lever))
		s.run(1500 * unit.Millisecond)
	}
	s.ended, s.prompts = false, nil
	s.say(drill.Edges, event.StepBegin, "")
	s.run(unit.Second)
	s.say(drill.Edges, event.StepConfirm, "")
	standing, again := "", unit.Never
	for deadline := s.at.Add(60 * unit.Minute); !s.ended; {
		require.Less(s.t, s.at, deadline, "the drill ends, after %s: %v", standing, s.hints)
		switch {
		case len(s.prompts) > 0:
			standing, s.prompts = s.prompts[len(s.prompts)-1], nil
		case s.at < again:
			s.run(20 * unit.Millisecond)
			continue
		}
		s.atPrompt(standing)
		again = s.at.Add(8 * unit.Second) // it stands still: they do it once more
	}
	found := map[string]*claim.Claim{}
	for _, c := range s.engine.Claims() {
		found[c.ID] = c
	}
	return found
}

// atPrompt does what hands do at a prompt, and what they do wrong.
func (s *stepper) atPrompt(prompt string) {
	for _, step := range s.hands.Follow(prompt) {
		if len(s.prompts) > 0 || s.ended {
			return
		}
		if s.slip != nil {
			s.slip(s, prompt, &step)
		}
		if n := len(s.prompts); n > 0 && s.prompts[n-1] != prompt || s.ended {
			return // the slip was an answer
		}
		s.run(unit.Duration(step.Wait))
		_, _ = fmt.Sscanf(step.Do, "stick aid %d", &s.knob) // other steps leave the knob where it is
		if step.Do != "" {
			s.do("%s", s.byHand(step.Do))
		}
		if !step.Enter {
			continue
		}
		if step.Looks {
			step.Words = s.looked(prompt)
		}
		s.tell(drill.Edges, prompt, step.Words)
	}
}

// byHand is a line of the script; a switch is flipped as a knob that is turned fast.
func (s *stepper) byHand(do string) string {
	name, to, _ := strings.Cut(do, " ")
	if c, ok := s.sheet.ByName(name); ok {
		place, known := c.Place(to)
		require.True(s.t, known, do)
		return fmt.Sprintf("stick %s %d over 40ms", name, place.Width/1000)
	}
	return do
}

// looked is the key that is typed.
func (s *stepper) looked(prompt string) string {
	key := s.hands.SaysOf(prompt, s.shown())
	if s.looks++; s.looks == s.wrongAt {
		key = map[string]string{"a": "b", "b": "a", "?": "?"}[key]
	}
	return key
}

func drawEdges(seed uint64) edgesAt {
	r := rand.New(rand.NewPCG(seed, 22))
	return edgesAt{between(r, 1080, 1290), between(r, 1370, 1600), between(r, 1680, 1890)}
}

// edgeNames are those of the starter's modes.
var edgeNames = []string{"plain/damping", "damping/upright", "upright/hold-course"}

// scalesDiffer is how far the widths of the sheet's scale are from those of the simulated receiver, which counts in
// 625 ns, ns.
const scalesDiffer = 500

// holds says that what was found holds where the receiver changes, from below and from above.
func (s *stepper) holds(t *testing.T, name string, rises, falls unit.Width) {
	d := s.found[name]
	require.NotNil(t, d.Down, "%s: %+v %v", name, d, s.hints)
	for _, x := range []struct {
		way  *event.EdgeWay
		edge unit.Width
	}{{&d.Up, rises}, {d.Down, falls}} {
		require.Empty(t, x.way.Why, "%s %v", name, s.hints)
		assert.LessOrEqual(t, x.way.ToNS-x.way.FromNS, unit.Width(10_000), name)
		assert.LessOrEqual(t, x.way.FromNS, x.edge+scalesDiffer, "%s: %+v", name, d)
		assert.GreaterOrEqual(t, x.way.ToNS, x.edge-scalesDiffer, "%s: %+v", name, d)
	}
}

// Each way finds where the receiver changes, whichever side it comes from; an edge is taken where both agree, and the sheet's
// is right where it lies there.
func TestEdgesAreTheReceivers(t *testing.T) {
	for _, seed := range seedsFrom(t, 1, 2) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			at := drawEdges(seed)
			keeps := []int{0, 0, 3, 9, 25}[seed%5]
			s := steps(t, at, fmt.Sprintf("gyro keeps %d\n", keeps), seed)
			claims := s.follows()
			for i, name := range edgeNames {
				edge, keeps := unit.Width(at[i])*1000, unit.Width(keeps)*1000
				s.holds(t, name, edge+keeps, edge-keeps)
				d, c := s.found[name], claims["edge/aid/"+name]
				switch sheet := unit.Width([]int{1180, 1480, 1780}[i]) * 1000; {
				case !d.Agrees:
					assert.Positive(t, keeps)
					assert.Equal(t, claim.VerdictOpen, c.Verdict, c.Sentence)
					assert.Contains(t, c.Sentence, "hysteresis")
				case d.FromNS <= sheet && sheet <= d.ToNS:
					assert.Equal(t, claim.VerdictRight, c.Verdict, c.Sentence)
				default:
					assert.Equal(t, claim.VerdictWrong, c.Verdict, c.Sentence)
				}
				if keeps == 25_000 {
					assert.False(t, d.Agrees)
				}
			}
		})
	}
}

// missteps does to a step what careless hands do.
func missteps(s *stepper, prompt string, step *operator.Step) {
	if !strings.HasSuffix(prompt, "/up") && !strings.HasSuffix(prompt, "/down") {
		return
	}
	n := s.rng.IntN(20)
	us, over := 0, ""
	switch turned, _ := fmt.Sscanf(step.Do, "stick aid %d over %s", &us, &over); {
	case turned == 2:
		misturns(s, n, us, over, step)
	case step.Looks:
		mislooks(s, n, prompt)
	case strings.HasPrefix(step.Do, "tilt") && n == 7: // nobody rocks it
		step.Do = ""
	case strings.HasPrefix(step.Do, "tilt") && n < 12: // the knob shakes
		s.shake()
	}
}

// misturns is about a knob that is to be turned to a width.
func misturns(s *stepper, n, us int, over string, step *operator.Step) {
	switch {
	case n < 3: // beyond it, and back
		s.do("stick aid %d over 600ms", min(2020, max(980, us+between(s.rng, -40, 40))))
		s.run(700 * unit.Millisecond)
	case n == 3: // beside it
		step.Do = fmt.Sprintf("stick aid %d over %s", min(2020, max(980, us+between(s.rng, -25, 25))), over)
	}
}

// mislooks is about surfaces that are looked at, and a key.
func mislooks(s *stepper, n int, prompt string) {
	switch n {
	case 4: // two at once
		s.tell(drill.Edges, prompt, s.hands.SaysOf(prompt, s.shown()))
	case 5: // a slip of the finger
		s.tell(drill.Edges, prompt, "c")
	case 6: // too early
		s.do("stick aid %d over 100ms", between(s.rng, 1040, 1930))
	}
}

// shake has the knob go a little off where it stands.
func (s *stepper) shake() {
	if at := s.knob; at != 0 {
		s.do("stick aid %d over 60ms", min(2020, max(980, at+between(s.rng, -3, 3))))
		s.run(100 * unit.Millisecond)
	}
}

// Hands that overshoot, shake, answer twice or too early or take the wrong key once get an edge that is the receiver's, or one
// that is said to be none; and no other claim is wrong by it.
func TestCarelessStepsFindNoFalseEdge(t *testing.T) {
	for _, seed := range seedsFrom(t, 1, 2) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			at := drawEdges(seed)
			s := steps(t, at, "", seed)
			s.slip, s.wrongAt = missteps, 1+s.rng.IntN(40)
			for id, c := range s.follows() {
				if c.Family != claim.FamilyEdge {
					assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
				}
			}
			for i, name := range edgeNames {
				if d := s.found[name]; d.Agrees {
					assert.LessOrEqual(t, d.FromNS, unit.Width(at[i])*1000+scalesDiffer, "%s: %+v", name, d)
					assert.GreaterOrEqual(t, d.ToNS, unit.Width(at[i])*1000-scalesDiffer, "%s: %+v", name, d)
				}
			}
		})
	}
}

// What the switch showed before is to be seen again once the knob is off; what the knob showed counts for nothing.
func TestAKnobMakesModesStale(t *testing.T) {
	s := steps(t, edgesAt{1180, 1480, 1780}, "", 3)
	claims := s.follows()
	for _, c := range claims {
		switch c.Family {
		case claim.FamilyMode, claim.FamilyMargin, claim.FamilyPosition:
			assert.Equal(t, claim.VerdictStale, c.Verdict, "%s: %s", c.ID, c.Sentence)
		case claim.FamilyEdge:
			assert.Equal(t, claim.VerdictRight, c.Verdict, "%s: %s", c.ID, c.Sentence)
			assert.Contains(t, c.Sentence, "when: [{aid: [")
		}
	}
	for _, us := range []int{1640, 1930, 1040, 1330} {
		s.do("stick aid %d over 40ms", us)
		s.run(1500 * unit.Millisecond)
	}
	assert.Equal(t, claim.VerdictRight, claims["mode/upright/third"].Verdict, claims["mode/upright/third"].Sentence)
}

// A drill that is broken off leaves a knob on the channel: nothing counts that it shows until somebody says that it is off.
func TestAKnobThatStaysIsNoSwitch(t *testing.T) {
	s := steps(t, edgesAt{1180, 1480, 1780}, "", 4)
	s.breaks = true
	s.slip = func(s *stepper, prompt string, _ *operator.Step) {
		if strings.HasSuffix(prompt, "/down") && !s.ended {
			s.say(drill.Edges, event.StepAbandon, "")
			s.ended = true
		}
	}
	claims := s.follows()
	turn := func() {
		for _, us := range []int{1100, 1400, 1640, 1720, 1040, 1990, 1330} {
			s.do("stick aid %d over 700ms", us)
			s.run(1500 * unit.Millisecond)
		}
	}
	turn()
	assert.Equal(t, claim.VerdictStale, claims["mode/upright/third"].Verdict)
	for _, c := range claims {
		assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", c.ID, c.Sentence)
	}
	data := []byte("aid")
	s.step(&event.Input{At: s.at, Kind: event.InputReopen, Data: data})
	turn()
	assert.Equal(t, claim.VerdictRight, claims["mode/upright/third"].Verdict, claims["mode/upright/third"].Sentence)
}

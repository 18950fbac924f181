package monitor_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// gridAt are where a receiver with modes on two channels changes along each of them, µs.
type gridAt struct{ plain, upright, outer int }

// grid is a builder at the model whose modes two switches choose together.
//
//	outer front  damping | plain | hold-course
//	      back   damping | plain | upright
//	               inner ----------------->
func grid(t *testing.T, at gridAt, seed uint64, changes ...string) *stepper {
	text := string(simtest.Sheet())
	changes = append(changes, "\nstabiliser:\n", "\nstabiliser:\n  measure: [edges]\n")
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	knobs := "channel 11 inner 988 stops 980 2020\nchannel 13 outer 988 stops 980 2020\n"
	bench := strings.Replace(simtest.Model, simtest.ModeSwitches, knobs, 1) + "receiver main preset\n" +
		strings.Replace(presets, "inner middle", "inner 1500", 1)
	before, _, _ := strings.Cut(leadsSetup, "gyro rate")
	bench += before + fmt.Sprintf("gyro rate when inner 0 %d\ngyro off when inner %d %d\ngyro level when inner %d 3000 outer 0 %d\n"+
		"gyro course when inner %d 3000 outer %d 3000\n", at.plain, at.plain, at.upright, at.upright, at.outer, at.upright, at.outer)
	s := stepsOn(t, text, bench+airframes[0].mixes, seed)
	s.work = []string{"inner middle", "inner front", "outer front", "inner back", "outer back"}
	return s
}

// alike has two modes beside one another answer a tilt alike.
var alike = []string{"wanted_at: [{inner: front, outer: front}]", "wanted_at: [{inner: front, outer: front}]\n      does: stays"}

// Where two channels choose the mode, each edge is found along its own channel, with the other one where the edge is there.
func TestEdgesOfAGrid(t *testing.T) {
	s := grid(t, gridAt{1334, 1682, 1561}, 1)
	claims := s.follows()
	for name, at := range map[string]int{"damping/plain": 1334, "plain/upright": 1682, "upright/hold-course": 1561} {
		s.holds(t, name, unit.Width(at)*1000, unit.Width(at)*1000)
		assert.True(t, s.found[name].Agrees, name)
	}
	for _, id := range []string{"edge/inner/damping/plain", "edge/inner/plain/upright", "edge/outer/upright/hold-course"} {
		assert.Equal(t, claim.VerdictWrong, claims[id].Verdict, claims[id].Sentence)
	}
	assert.Len(t, s.found, 3)
}

// A switch that is to stand elsewhere while the other channel is stepped is asked to be put back.
func TestAStepWaitsForTheOtherSwitch(t *testing.T) {
	s := grid(t, gridAt{1300, 1700, 1500}, 2)
	flipped := 0
	s.slip = func(s *stepper, prompt string, step *operator.Step) {
		if strings.HasPrefix(prompt, "edges/outer/upright") && step.Looks && flipped < 3 {
			if flipped++; flipped == 2 {
				s.do("%s", s.byHand("inner back"))
				s.run(3 * unit.Second)
				s.tell("edges", prompt, "a")
				s.do("%s", s.byHand("inner front"))
				s.run(2 * unit.Second)
			}
		}
	}
	claims := s.follows()
	assert.Contains(t, strings.Join(s.hints, "\n"), "where front is to be: put it back first")
	c := claims["edge/outer/upright/hold-course"]
	assert.Equal(t, claim.VerdictRight, c.Verdict, c.Sentence)
}

// Modes that answer a tilt alike have no edge that can be looked at: no step asks for one, and its claim says why it stays open.
func TestEdgesBetweenModesThatAnswerAlikeStayOpen(t *testing.T) {
	s := grid(t, gridAt{1300, 1700, 1500}, 3, alike...)
	var asked []string
	s.slip = func(_ *stepper, prompt string, _ *operator.Step) { asked = append(asked, prompt) }
	claims := s.follows()
	c := claims["edge/outer/upright/hold-course"]
	assert.Equal(t, claim.VerdictOpen, c.Verdict, c.Sentence)
	assert.Contains(t, c.Sentence, "both answer a tilt alike")
	assert.Equal(t, claim.VerdictRight, claims["edge/inner/plain/upright"].Verdict)
	for _, prompt := range asked {
		assert.NotContains(t, prompt, "edges/outer/", "outer needs no knob")
	}
	assert.Len(t, s.found, 2)
}

// copied is the sheet with the lines in it that the tool gave for what was measured, as the builder is told to copy them.
func (s *stepper) copied(text string) string {
	latest := map[string]string{}
	for _, d := range s.measured {
		for _, line := range d.Lines {
			mode, when, ok := strings.Cut(line, ": ")
			require.True(s.t, ok, line)
			latest[mode] = when
		}
	}
	text = regexp.MustCompile(`(?m)^( +from: )(manual|guess)`).ReplaceAllString(text, "${1}measured")
	for mode, when := range latest {
		old := regexp.MustCompile(`(?m)^(    ` + mode + `:.*\n(?: +#.*\n)*      )when: .*$`)
		require.True(s.t, old.MatchString(text), mode)
		text = old.ReplaceAllString(text, "${1}"+when)
	}
	return text
}

// What is measured can be copied into the sheet as it stands: nothing in it is refused, nothing is doubted that was not before, and
// its edges are those which were measured.
func TestMeasuredLinesMayBeCopied(t *testing.T) {
	for _, c := range []struct {
		name  string
		bench func(t *testing.T) *stepper
		edges int
	}{
		{"one channel", func(t *testing.T) *stepper { return steps(t, edgesAt{1213, 1447, 1822}, "", 5) }, 3},
		{"a grid, edges farther out", func(t *testing.T) *stepper { return grid(t, gridAt{1251, 1746, 1437}, 6) }, 3},
		{"a grid, edges farther inside", func(t *testing.T) *stepper { return grid(t, gridAt{1362, 1655, 1581}, 7) }, 3},
		{"a grid, one of its edges not to be seen", func(t *testing.T) *stepper { return grid(t, gridAt{1362, 1755, 1581}, 8, alike...) }, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := c.bench(t)
			_, before, err := sheet.ReadNew("before", []byte(s.text))
			require.NoError(t, err)
			s.follows()
			require.Len(t, s.found, c.edges)
			text := s.copied(s.text)
			after, doubts, err := sheet.ReadNew("after", []byte(text))
			require.NoError(t, err)
			assert.Len(t, doubts, len(before), "%v", doubts)
			for _, e := range after.Edges() {
				d, ok := s.found[e.Name]
				if !ok {
					assert.True(t, e.Alike(), e.Name)
					continue
				}
				assert.LessOrEqual(t, e.Ends, d.FromNS, e.Name)
				assert.GreaterOrEqual(t, e.Begins, d.ToNS, e.Name)
				assert.LessOrEqual(t, e.Begins-e.Ends, unit.Width(22_000), e.Name)
			}
			assert.Len(t, after.Edges(), 3)
		})
	}
}

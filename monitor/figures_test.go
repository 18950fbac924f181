package monitor_test

import (
	"fmt"
	"math"
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

// measuring is a builder whose sheet wants figures, and what was reported of them.
type measuring struct {
	*builder
	hands  operator.Operator
	gain   int64 // µs, where the knob stands
	rests  []event.ModelRestedData
	fitted map[string]event.AnswerFittedData // by MODE/AXIS/output:N
	levels map[string]event.LevelMeasuredData
	enters map[string]event.EntryMeasuredData
	taken  func(e *event.Event) // takes events too, nil for nobody
	before func(prompt string)  // what hands do before they follow a prompt, nil for nothing
}

// measures makes one, by an airframe, what the sheet measures and further settings of the bench.
func measures(t testing.TB, a airframe, what, setup string, seed uint64) *measuring {
	return measuresOn(t, a, what, simtest.Model+setup+presets+leadsSetup+a.mixes, seed)
}

// measuresOn makes one on a bench that is written out.
func measuresOn(t testing.TB, a airframe, what, bench string, seed uint64) *measuring {
	m := &measuring{builder: build(t, a, bench, seed), fitted: map[string]event.AnswerFittedData{},
		levels: map[string]event.LevelMeasuredData{}, enters: map[string]event.EntryMeasuredData{}}
	m.sheet = measuredSheet(t, a, what)
	m.engine = engine.New(m.sheet, func(e *event.Event, _ int64) { m.hears(e); m.takes(e) })
	m.at, m.beat = 0, unit.Second
	m.begin()
	m.gain = 1756
	m.hands = operator.Operator{Sheet: m.sheet, Rand: m.rng, ConfirmsTilts: true}
	return m
}

func measuredSheet(t testing.TB, a airframe, what string) *sheet.Sheet {
	before, rest, ok := strings.Cut(string(sheetText(t, a)), "stabiliser:\n")
	require.True(t, ok)
	s, err := sheet.Read(a.name, []byte(before+"stabiliser:\n  measure: ["+what+"]\n"+rest))
	require.NoError(t, err)
	return s
}

func (m *measuring) takes(e *event.Event) {
	if m.taken != nil {
		m.taken(e)
	}
	switch d := e.Data.(type) {
	case event.ModelRestedData:
		m.rests = append(m.rests, d)
	case event.AnswerFittedData:
		m.fitted[d.Mode+"/"+d.Axis+"/"+e.About] = d
	case event.LevelMeasuredData:
		m.levels[d.Axis] = d
	case event.EntryMeasuredData:
		m.enters[d.Mode] = d
	}
}

// drills follows a drill to its end, and gives the claims.
func (m *measuring) drills(name string) map[string]*claim.Claim {
	m.do("signal on")
	m.run(3 * unit.Second)
	m.do("stick gain %d over 500ms", m.gain)
	m.run(unit.Second)
	m.ended = false
	m.say(name, event.StepBegin, "")
	m.run(unit.Second)
	m.say(name, event.StepConfirm, "")
	for deadline := m.at.Add(20 * unit.Minute); !m.ended; {
		require.Less(m.t, m.at, deadline, "the drill %s ends", name)
		if len(m.prompts) == 0 {
			m.run(20 * unit.Millisecond)
			continue
		}
		prompt := m.prompts[0]
		m.prompts = m.prompts[1:]
		if m.before != nil {
			m.before(prompt)
		}
		for _, step := range m.hands.Follow(prompt) {
			m.run(unit.Duration(step.Wait))
			if step.Do != "" {
				m.do("%s", step.Do)
			}
			if step.Enter {
				m.tell(name, prompt, step.Words)
			}
		}
	}
	found := map[string]*claim.Claim{}
	for _, c := range m.engine.Claims() {
		found[c.ID] = c
	}
	return found
}

// stabilised is what a seed draws of a stabiliser.
type stabilised struct {
	gain        int64 // µs
	dead        int64 // millidegrees to either side
	pitch, roll int64 // millidegrees of its level
	setup       string
}

func drawStabilised(seed uint64) (d stabilised) {
	r := rand.New(rand.NewPCG(seed, 21))
	d.gain = int64(between(r, 1650, 1990))
	if r.IntN(2) == 0 {
		d.dead = int64(between(r, 800, 2500))
	}
	d.pitch, d.roll = int64(between(r, -3500, 3500)), int64(between(r, -1500, 1500))
	hands := "hands steady\n"
	d.setup = fmt.Sprintf("receiver main preset\n%sgyro lies pitch %d\ngyro lies roll %d\ngyro dead %d\n", hands, d.pitch, d.roll, d.dead)
	return d
}

// perDegree is the simulated truth: 5 µs for a degree at full gain, by what the axis' stick does to
// the output, towards the end that a first tilt answers as.
func (d *stabilised) perDegree(s *sheet.Sheet, axis string, o *sheet.Output) float64 {
	stick, end, _ := s.Reference(axis)
	for _, m := range o.MovedBy {
		if m.Channel == stick.Number {
			return 5 * float64(d.gain-1500) / 512 * float64(m.Weight) / 1e6 * math.Copysign(1, float64(end.Width-stick.Neutral))
		}
	}
	return 0
}

// Figures of any stabiliser are those of its model: signs always right, slopes within 5 %, its level within
// what is said, the dead band within its doubt; and a correct model is wrong in nothing.
func TestFiguresAreTheModels(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			a, d := airframes[seed%uint64(len(airframes))], drawStabilised(seed)
			m := measures(t, a, "degrees, level", d.setup, seed)
			m.gain = d.gain
			claims := m.drills(drill.Degrees)
			d.holdFits(t, m)
			d.holdLevel(t, m, claims)
			assert.Equal(t, event.HoldsAttitude, m.enters["upright"].Holds)
			for id, c := range claims {
				if strings.HasPrefix(id, "degrees/damping/") && c.Verdict == claim.VerdictOpen { // a slow hand, and little gain
					assert.Contains(t, c.Sentence, "brisk")
				} else if strings.HasPrefix(id, "degrees/") || strings.HasPrefix(id, "entered/") {
					assert.Equal(t, claim.VerdictRight, c.Verdict, "%s: %s", id, c.Sentence)
				}
			}
		})
	}
}

func (d *stabilised) holdFits(t *testing.T, m *measuring) {
	for _, axis := range []string{sheet.Pitch, sheet.Roll} {
		for _, o := range m.sheet.Corrected(axis) {
			fit, want := m.fitted["upright/"+axis+"/"+event.AboutOutput.Numbered(o.Number)], d.perDegree(m.sheet, axis, o)
			got := float64(fit.PerDegreeNS) / 1000
			assert.InEpsilon(t, want, got, 0.05, "%s, output %d", axis, o.Number)
			assert.InDelta(t, want, got, 1.5*float64(fit.PerDegreeWithinNS)/1000, "%s, output %d", axis, o.Number)
			assert.InDelta(t, float64(2*d.dead), float64(fit.DeadMDeg), 1.5*float64(fit.DeadWithinMDeg), "%s, output %d", axis, o.Number)
			returns := m.fitted["damping/"+axis+"/"+event.AboutOutput.Numbered(o.Number)]
			assert.InDelta(t, 0, float64(returns.PerDegreeNS)/1000, 0.05, "%s, output %d", axis, o.Number)
		}
	}
}

func (d *stabilised) holdLevel(t *testing.T, m *measuring, claims map[string]*claim.Claim) {
	for axis, lies := range map[string]int64{sheet.Pitch: d.pitch, sheet.Roll: d.roll} {
		got, c := m.levels[axis], claims["level/upright/"+axis]
		require.Empty(t, got.Why)
		off := float64(got.LevelMDeg - lies)
		assert.LessOrEqual(t, math.Abs(off), float64(max(500, got.WithinMDeg)), "%s: %s", axis, c.Sentence)
		assert.LessOrEqual(t, got.WithinMDeg, int64(1200)+d.dead, "%s: %s", axis, c.Sentence)
		if c.Verdict == claim.VerdictWrong {
			assert.Greater(t, unit.Abs(lies), int64(2000), c.Sentence)
		}
		if c.Verdict == claim.VerdictRight {
			assert.LessOrEqual(t, unit.Abs(lies), int64(2000), c.Sentence)
		}
	}
}

// A dead stabiliser and hands that tilt nothing are both left open, and each thing that has to be
// looked at before anything is taken for dead is named.
func TestNothingIsDeadByTypedAngles(t *testing.T) {
	for name, x := range map[string]struct {
		setup string
		idle  bool
	}{
		"dead": {"fault correction all 0%\n", false},
		"idle": {"", true},
		"gain": {"gyro gain 0%\n", false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a := airframes[0]
			m := measuresOn(t, a, "degrees, level", simtest.Model+"receiver main preset\nhands steady\n"+presets+leadsSetup+a.mixes+x.setup, 3)
			m.hands.Idle = x.idle
			claims := m.drills(drill.Degrees)
			for id, c := range claims {
				family, _, _ := strings.Cut(id, "/")
				if family == "degrees" || family == "entered" || family == "level" {
					assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", id, c.Sentence)
				}
				if family == "degrees" {
					for _, cause := range []string{"gain is at zero", "mode is off", "sleeps until the throttle", "drive unable to run", "limit learning", "nobody tilted"} {
						assert.Contains(t, c.Sentence, cause, id)
					}
				}
			}
		})
	}
}

// What holds a course starts from rest where it was entered, and that it creeps is no fault.
func TestACourseIsToldFromAnAttitude(t *testing.T) {
	for _, creep := range []int{0, 60, 900} {
		t.Run(fmt.Sprint(creep), func(t *testing.T) {
			t.Parallel()
			m := measuresOn(t, airframes[0], "degrees", simtest.Model+"receiver main preset\nhands steady\n"+presets+
				strings.Replace(leadsSetup, "gyro level when", "gyro course when", 1)+fmt.Sprintf("gyro creep %d\n", creep)+airframes[0].mixes, 4)
			claims := m.drills(drill.Degrees)
			assert.NotEqual(t, event.HoldsAttitude, m.enters["upright"].Holds)
			if creep == 0 {
				assert.Equal(t, event.HoldsCourse, m.enters["upright"].Holds, claims["entered/upright"].Sentence)
			}
			for id, c := range claims {
				assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
			}
		})
	}
}

// A reversed correction is wrong in its own figures, and no others.
func TestAReversedCorrectionInFigures(t *testing.T) {
	a := airframes[1]
	a.mixes += "fault correction roll -100%\n"
	m := measures(t, a, "degrees, level", "receiver main preset\nhands steady\n", 6)
	for id, c := range m.drills(drill.Degrees) {
		switch {
		case strings.HasPrefix(id, "degrees/upright/roll/"):
			assert.Equal(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
			assert.Contains(t, c.Sentence, "reverse the roll correction in the stabiliser, not the servo")
		default:
			assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
		}
	}
}

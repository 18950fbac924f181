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
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// feeling is a builder who measures with a phone on the model, which lies askew, and types no angle that it feels.
type feeling struct {
	*measuring
	events *[]event.Event
	turned bool // the model is tilted the other way
}

// feels makes one: the phone lies askew by so many degrees on a bench with further settings.
func feels(t testing.TB, a airframe, askew int, setup, faults string, gain int64, seed uint64) *feeling {
	before, rest, ok := strings.Cut(string(sheetText(t, a)), "stabiliser:\n")
	require.True(t, ok)
	before = strings.Replace(before, "taps:\n", "taps:\n  phone: {kind: tilt}\n", 1)
	s, err := sheet.Read(a.name, []byte(before+"stabiliser:\n  measure: [degrees, level]\n"+rest))
	require.NoError(t, err)
	p := withPhoneOn(t, s, simtest.Model+setup+presets+leadsSetup+fmt.Sprintf("phone phone askew %d\n", askew)+a.mixes+faults, seed)
	f := &feeling{measuring: &measuring{builder: p.builder, gain: gain}, events: &p.events}
	f.asks = true
	f.hands = operator.Operator{Sheet: s, Rand: f.rng, Felt: true}
	f.do("signal on")
	f.run(3 * unit.Second)
	require.True(t, p.lays().Agrees)
	f.do("stick gain %d over 500ms", gain)
	f.run(unit.Second)
	return f
}

// drawFelt is what a seed draws of a stabiliser, and by how much askew the phone lies.
func drawFelt(seed uint64) (a airframe, d stabilised, askew int) {
	r := rand.New(rand.NewPCG(seed, 22))
	return airframes[seed%uint64(len(airframes))], drawStabilised(seed), r.IntN(41) - 20
}

// measures follows the drill of degrees to its end; what is asked about is insisted on.
func (f *feeling) measures() map[string]*claim.Claim {
	f.ended = false
	f.say(drill.Degrees, event.StepBegin, "")
	f.run(unit.Second)
	f.say(drill.Degrees, event.StepConfirm, "")
	standing, hinted := "", f.hints()
	for deadline := f.at.Add(30 * unit.Minute); !f.ended; {
		require.Less(f.t, f.at, deadline, "the drill ends, after %s", standing)
		switch {
		case len(f.prompts) > 0:
			standing, f.prompts, hinted = f.prompts[len(f.prompts)-1], nil, f.hints()
			f.tilts(standing)
		case f.hints() > hinted:
			hinted = f.hints()
			f.run(unit.Second)
			f.tell(drill.Degrees, standing, "")
		default:
			f.run(20 * unit.Millisecond)
		}
	}
	f.fitted, f.levels, f.enters = map[string]event.AnswerFittedData{}, map[string]event.LevelMeasuredData{}, map[string]event.EntryMeasuredData{}
	for i := range *f.events {
		f.takes(&(*f.events)[i])
	}
	found := map[string]*claim.Claim{}
	for _, c := range f.engine.Claims() {
		found[c.ID] = c
	}
	return found
}

// tilts does what a prompt asks for; where the model is turned, the other way.
func (f *feeling) tilts(prompt string) {
	for _, step := range f.hands.Follow(prompt) {
		f.run(unit.Duration(step.Wait))
		var axis, over string
		var angle int
		if n, _ := fmt.Sscanf(step.Do, "tilt %s %d over %s", &axis, &angle, &over); n == 3 && f.turned {
			step.Do = fmt.Sprintf("tilt %s %d over %s", axis, -angle, over)
		}
		if step.Do != "" {
			f.do("%s", step.Do)
		}
		if step.Enter {
			f.tell(drill.Degrees, "", step.Words)
		}
	}
}

func (f *feeling) hints() (n int) {
	for i := range *f.events {
		if (*f.events)[i].Kind == event.DrillHint {
			n++
		}
	}
	return n
}

// With a phone askew by up to 20 degrees, figures are the model's: all signs right, slopes within 5 %, the level within
// half a degree or what is said; and the model is wrong in nothing but a level that lies off.
func TestFiguresAreTheModelsByAPhone(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			a, d, askew := drawFelt(seed)
			f := feels(t, a, askew, d.setup, "", d.gain, seed)
			claims := f.measures()
			d.holdFits(t, f.measuring)
			d.holdLevel(t, f.measuring, claims)
			assert.Equal(t, event.HoldsAttitude, f.enters["upright"].Holds)
			for id, c := range claims {
				if !strings.HasPrefix(id, "level/") { // one that lies off is wrong, see holdLevel
					assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
				}
			}
			for key, fit := range f.fitted {
				if fit.Axis != sheet.Yaw {
					assert.Equal(t, event.RestFelt, fit.By, key)
					assert.Positive(t, fit.FineNS, key)
				}
			}
			assert.Zero(t, f.hints(), "nothing was asked about")
		})
	}
}

// A phone tells a dead stabiliser from hands that tilt nothing: only the first is seen wrong.
func TestDeadOrIdleByAPhone(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for _, idle := range []bool{false, true} {
			t.Run(fmt.Sprint(seed, " idle ", idle), func(t *testing.T) {
				t.Parallel()
				a, d, askew := drawFelt(seed)
				f := feels(t, a, askew, d.setup, "fault correction all 0%\n", d.gain, seed)
				f.hands.Idle = idle
				for id, c := range f.measures() {
					family, rest, _ := strings.Cut(id, "/")
					switch {
					case family != "degrees":
					case idle:
						assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", id, c.Sentence)
					case strings.Contains(rest, "/yaw/"):
						assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", id, c.Sentence)
					default:
						assert.Equal(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
						assert.Contains(t, c.Sentence, "felt the tilts", id)
					}
				}
				assert.Equal(t, idle, f.hints() > 0, "idle hands are asked about")
			})
		}
	}
}

// A nose that is raised for a tail is asked about in each case, and judges nothing.
func TestANoseForATailByAPhone(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			a, d, askew := drawFelt(seed)
			f := feels(t, a, askew, d.setup, "", d.gain, seed)
			f.turned = true
			claims := f.measures()
			for i := range *f.events {
				r, ok := (*f.events)[i].Data.(event.ModelRestedData)
				if ok && r.Side != 0 && r.Axis != sheet.Yaw && r.By == event.RestFelt {
					assert.NotEmpty(t, r.Why, r.Prompt)
				}
			}
			for id, c := range claims {
				if family, rest, _ := strings.Cut(id, "/"); (family == "degrees" || family == "level") && !strings.Contains(rest, "/yaw/") {
					assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", id, c.Sentence)
					assert.Contains(t, c.Sentence, "was asked for, and the phone on the model felt", id)
				}
			}
		})
	}
}

// A phone that is turned half round on its spot, and back, takes its own bias off: the level is known more closely, and lies
// within what is said. One that is not turned so leaves the bias in the doubt, as without it, and is asked about.
func TestAPhoneTurnedHalfRoundOnTheModel(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for name, twist := range map[string]func(int) int{
			"half": nil, "a quarter": func(angle int) int { return angle / 2 }, "not at all": func(int) int { return 0 },
			"once round": func(angle int) int { return min(2*angle, 360) },
		} {
			t.Run(fmt.Sprint(seed, " ", name), func(t *testing.T) {
				t.Parallel()
				a, d, askew := drawFelt(seed)
				f := feels(t, a, askew, d.setup, "", d.gain, seed)
				f.hands.Twist = twist
				claims := f.measures()
				d.holdFits(t, f.measuring)
				d.holdLevel(t, f.measuring, claims)
				var turned []event.PhoneTurnedData
				for i := range *f.events {
					if got, ok := (*f.events)[i].Data.(event.PhoneTurnedData); ok {
						turned = append(turned, got)
					}
				}
				require.Len(t, turned, 1)
				for axis, level := range f.levels {
					says := claims["level/upright/"+axis].Sentence
					if twist == nil {
						assert.Empty(t, turned[0].Why)
						assert.Positive(t, level.BiasWithinMDeg)
						assert.Less(t, level.BiasWithinMDeg, int64(500), says)
						assert.Contains(t, says, "its own bias is taken off")
						continue
					}
					assert.NotEmpty(t, turned[0].Why)
					assert.Zero(t, level.BiasWithinMDeg)
					assert.Contains(t, says, "its own bias is in that doubt")
				}
				assert.Equal(t, twist != nil, f.hints() > 0, "what was no half turn is asked about")
			})
		}
	}
}

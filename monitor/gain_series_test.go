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
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// gainBench is a bench whose receiver makes of the knob what a law says, with further settings.
func gainBench(a airframe, law, setup string) string {
	leads := strings.Replace(leadsSetup, "gyro gain gain none 1500 full 988 2012\n", "gyro gain "+law+"\n", 1)
	return simtest.Model + "receiver main preset\nhands steady\n" + presets + leads + setup + a.mixes
}

// series follows the drill to its end, and gives what was measured, if anything, and the claims of the gain.
func (m *measuring) series(t *testing.T) (found *event.GainMeasuredData, claims map[string]*claim.Claim) {
	m.taken = func(e *event.Event) {
		if d, ok := e.Data.(event.GainMeasuredData); ok {
			found = &d
		}
	}
	claims = m.drills(drill.GainSeries)
	require.NotNil(t, found)
	return found, claims
}

// The law is found that the receiver makes of the knob, with µs a degree at each place within 5 %; what the sheet has of no
// and full gain is seen wrong only where the receiver has it otherwise.
func TestTheLawOfTheKnobIsTheReceivers(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for name, x := range map[string]struct {
			law        string
			share      func(us float64) float64
			found      event.GainLaw
			none, full claim.Verdict
		}{
			"straight": {"gain none 1500 full 988 2012", func(us float64) float64 { return (us - 1500) / 512 },
				event.GainStraight, claim.VerdictRight, claim.VerdictRight},
			"reversed": {"gain none 2012 full 1500", func(us float64) float64 { return (2012 - us) / 512 },
				event.GainReversed, claim.VerdictWrong, claim.VerdictWrong},
			"dead end": {"gain none 1650 full 2012", func(us float64) float64 { return max(0, us-1650) / 362 },
				event.GainFlatBelow, claim.VerdictRight, claim.VerdictRight},
			"full early": {"gain none 1500 full 1760", func(us float64) float64 { return min(1, (us-1500)/260) },
				event.GainFlatAbove, claim.VerdictRight, claim.VerdictRight},
			"not by it": {"60%", func(float64) float64 { return 0.6 }, event.GainConstant, claim.VerdictWrong, claim.VerdictOpen},
		} {
			t.Run(fmt.Sprint(seed, " ", name), func(t *testing.T) {
				t.Parallel()
				a := airframes[seed%uint64(len(airframes))]
				m := measuresOn(t, a, "gain", gainBench(a, x.law, ""), seed)
				d, claims := m.series(t)
				assert.Equal(t, x.found, d.Law, claims["gain/law"].Sentence)
				for _, p := range d.Places {
					require.Empty(t, p.Why)
					want := 5 * x.share(float64(p.GainNS)/1000) * weightOf(m.sheet, d)
					assert.InDelta(t, want, float64(p.PerDegreeNS)/1000, 0.05*want+0.06, unit.FormatWidth(p.GainNS))
				}
				assert.Equal(t, claim.VerdictRight, claims["gain/law"].Verdict, claims["gain/law"].Sentence)
				assert.Equal(t, x.none, claims["gain/none"].Verdict, claims["gain/none"].Sentence)
				assert.Equal(t, x.full, claims["gain/full"].Verdict, claims["gain/full"].Sentence)
				for id, c := range claims {
					assert.NotContains(t, c.Sentence, "too much, even", id)
					if !strings.HasPrefix(id, "gain/") {
						assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
					}
				}
			})
		}
	}
}

// weightOf is how far all outputs that answer go together for the stick of the axis.
func weightOf(s *sheet.Sheet, d *event.GainMeasuredData) (sum float64) {
	stick, _, _ := s.Reference(d.Axis)
	for _, o := range s.Corrected(d.Axis) {
		for _, m := range o.MovedBy {
			if m.Channel == stick.Number {
				sum += float64(max(m.Weight, -m.Weight)) / 1e6
			}
		}
	}
	return sum
}

// An output that swings where the gain is high is told with the place: too much, even here. Below, nothing is said.
func TestASwingAtAPlaceOfTheKnob(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			a := airframes[seed%uint64(len(airframes))]
			above := 55 + 10*(seed%3)
			swing := fmt.Sprintf("fault gain pitch %d every %dms above %d%%\n", 20+seed%20, 400+100*(seed%9), above)
			m := measuresOn(t, a, "gain", gainBench(a, "gain none 1500 full 988 2012", "")+swing, seed)
			var swung []unit.Width
			m.taken = func(e *event.Event) {
				if d, ok := e.Data.(event.OutputUnsteadyData); ok && e.Kind == event.OutputUnsteady {
					swung = append(swung, d.GainNS)
				}
			}
			claims := m.drills(drill.GainSeries)
			require.NotEmpty(t, swung)
			for _, at := range swung {
				assert.Greater(t, at, unit.Width(1_500_000+5_120*int64(above)))
				assert.Contains(t, claims["gain/law"].Sentence, unit.FormatWidth(at))
			}
			assert.Contains(t, claims["gain/law"].Sentence, "too much, even there")
			steady := 0
			for _, o := range m.sheet.Corrected(sheet.Pitch) {
				c := claims["steady/"+event.AboutOutput.Numbered(o.Number)]
				if c.Verdict == claim.VerdictWrong {
					steady++
					assert.Contains(t, c.Sentence, "too much, even here")
				}
			}
			assert.Positive(t, steady)
		})
	}
}

// A knob that is moved while the model is tilted makes its place open, and tilts that are too small or none at all give no
// law; a correct model is wrong in nothing.
func TestCarelessHandsInAGainSeries(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 1) {
		for _, how := range []string{"moved", "moved and back", "idle", "asleep"} {
			t.Run(fmt.Sprint(seed, " ", how), func(t *testing.T) {
				t.Parallel()
				a := airframes[seed%uint64(len(airframes))]
				setup := ""
				if how == "asleep" {
					setup = "fault correction all 0%\n"
				}
				m := measuresOn(t, a, "gain", gainBench(a, "gain none 1500 full 988 2012", "")+setup, seed)
				m.hands.Idle = how == "idle"
				r := rand.New(rand.NewPCG(seed, 23))
				at := fmt.Sprintf("gain-series/%d/%s/%d", 2+r.IntN(3), []string{"there", "other"}[r.IntN(2)], 1+r.IntN(3))
				m.before = func(prompt string) {
					if prompt == at && strings.HasPrefix(how, "moved") {
						m.do("stick gain 1950 over 300ms")
						m.run(400 * unit.Millisecond)
						if how == "moved and back" {
							m.do("stick gain 1760 over 300ms")
							m.run(400 * unit.Millisecond)
						}
					}
				}
				d, claims := m.series(t)
				switch {
				case strings.HasPrefix(how, "moved"):
					open := 0
					for _, p := range d.Places {
						if p.Why != "" {
							open++
							assert.Equal(t, "the gain was changed meanwhile", p.Why)
						}
					}
					assert.Equal(t, 1, open, at)
					assert.Equal(t, event.GainStraight, d.Law, claims["gain/law"].Sentence)
				default:
					assert.Equal(t, event.GainUnknown, d.Law)
					for _, part := range []string{"law", "none", "full"} {
						assert.Equal(t, claim.VerdictOpen, claims["gain/"+part].Verdict, claims["gain/"+part].Sentence)
					}
				}
				for id, c := range claims {
					assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
				}
			})
		}
	}
}

package monitor_test

import (
	"bytes"
	"math/rand/v2"
	"slices"
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
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// obedient is a builder who does what prompts say, and nothing else.
type obedient struct {
	*builder
	hands operator.Operator
}

// sits follows every drill of the sheet, in the order in which they are listed; or those that are named.
func (o *obedient) sits(named ...string) []*claim.Claim {
	o.do("signal on")
	o.run(3 * unit.Second)
	for _, p := range drill.Plans(o.sheet) {
		if len(named) == 0 || slices.Contains(named, p.Name) {
			o.drill(&p)
		}
	}
	o.step(&event.Input{At: o.at, Kind: event.InputEnd})
	return o.engine.Claims()
}

// drill follows one drill from its beginning to its end.
func (o *obedient) drill(p *drill.Plan) {
	o.ended, o.prompts = false, nil
	o.say(p.Name, event.StepBegin, "")
	o.run(unit.Second)
	o.say(p.Name, event.StepConfirm, "")
	for deadline := o.at.Add(12 * unit.Minute); !o.ended; {
		require.Less(o.t, o.at, deadline, "the drill %s ends", p.Name)
		if len(o.prompts) == 0 {
			o.run(20 * unit.Millisecond)
			continue
		}
		prompt := o.prompts[0]
		o.prompts = o.prompts[1:]
		o.obeys(p, p.Prompt(prompt))
	}
	if p.Then != "" {
		o.do("signal on")
		o.run(3 * unit.Second)
	}
}

// obeys follows one prompt, and says so where the wire does not.
func (o *obedient) obeys(p *drill.Plan, q *drill.Prompt) {
	for _, step := range o.hands.Follow(q.ID) {
		o.run(unit.Duration(step.Wait))
		if step.Do == "signal off" && p.Loses {
			o.holds(q.Until.Beside)
		}
		if strings.HasPrefix(step.Do, "stir ") && p.Loses {
			step.Do = o.roundAndRound(q.Text)
		}
		if step.Do != "" {
			o.do("%s", step.Do)
		}
		if step.Enter {
			o.tell(p.Name, q.ID, step.Words)
		}
	}
	if q.Asks.Act == drill.ActAway { // the hands hold more than they are asked to
		o.do("release aileron elevator rudder")
	}
	o.run(2 * unit.Second)
	o.isDone(p, q)
}

// isDone says that a prompt is followed, where nothing else shows it.
func (o *obedient) isDone(p *drill.Plan, q *drill.Prompt) {
	if q.Answers() == drill.ByBuilder && len(o.prompts) == 0 && !o.ended || q.Answers() == drill.ByMarks {
		o.say(p.Name, event.StepDone, q.ID)
	}
}

// holds holds sticks as the signal goes; hands have seen to the rest.
func (o *obedient) holds(beside []drill.Beside) {
	for _, b := range beside {
		if c, _ := o.sheet.Channel(b.Channel); c.Kind == sheet.Stick {
			o.stick(c.Name, 1640)
		}
	}
}

// roundAndRound moves the stick that a prompt names.
func (o *obedient) roundAndRound(text string) string {
	names := "rudder throttle"
	if strings.Contains(text, "right stick") {
		names = "aileron elevator"
	}
	return "circle " + names + " every 1700ms for 6s"
}

// reedwing is the model of the starter sheet, on a bench that has what the sheet wants.
const reedwing = `receiver main preset
preset main throttle 1000
preset main aid first
preset main strength 1040
preset main teach rest
board leads of main
axis roll aileron left 1000
axis pitch elevator back 2000
axis yaw rudder right 2000
gyro gain strength none 1040 full 1930
gyro off when aid 0 1180
gyro rate when aid 1180 1480
gyro level when aid 1480 1780
gyro rate when aid 1780 3000
`

// A correct model whose builder follows the prompts of all drills, and does nothing beside, has
// every claim seen right that a drill is for. What stays open no drill settles, and says what would.
func TestPromptsAloneSettleWhatDrillsAreFor(t *testing.T) {
	starter, _, _ := bytes.Cut(sheet.Starter(), []byte("\nheartbeat:\n"))
	for name, o := range map[string]func() *builder{
		"wing":    func() *builder { return newBuilder(t, airframes[0], "receiver main preset\n", 1) },
		"elevon":  func() *builder { return newBuilder(t, airframes[1], "receiver main preset\n", 1) },
		"vtail":   func() *builder { return newBuilder(t, airframes[2], "receiver main preset\n", 1) },
		"starter": func() *builder { return aboveSheet(t, sheet.Starter(), simtest.Reedwing+reedwing+airframes[0].mixes) },
		"starter with a righting switch": func() *builder {
			return aboveSheet(t, rescued(t), rescueBench+reedwing+rescuePreset+airframes[0].mixes)
		},
		"starter in figures": func() *builder {
			text := strings.Replace(string(sheet.Starter()), "  margin: 100 us", "  measure: [degrees, level]\n  margin: 100 us", 1)
			return aboveSheet(t, []byte(text), simtest.Reedwing+reedwing+airframes[0].mixes)
		},
		"starter without a heartbeat": func() *builder {
			still, _, _ := strings.Cut(simtest.Reedwing, "channel 16")
			return aboveSheet(t, starter, still+reedwing+airframes[0].mixes)
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := o()
			home := []string{"inner middle", "outer back", "stick gain 1756 over 500ms"}
			if _, ok := b.sheet.ByName("aid"); ok {
				home = []string{"aid second", "stick strength 1485 over 500ms"}
			}
			w := obedient{b, operator.Operator{Sheet: b.sheet, Rand: b.rng, ConfirmsTilts: true, Bus: "main", Home: home}}
			for _, c := range w.sits() {
				if c.Verdict == claim.VerdictRight {
					continue
				}
				assert.Equal(t, claim.VerdictOpen, c.Verdict, "%s: %s", c.ID, c.Sentence)
				assert.Empty(t, c.Settle.Drill, "%s: %s", c.ID, c.Sentence)
				assert.NotEmpty(t, c.Settle.String(), c.ID)
			}
		})
	}
}

// aboveSheet is a builder at a bench that is simulated, with a sheet.
func aboveSheet(t *testing.T, text []byte, bench string) *builder {
	s, err := sheet.Read("starter", text)
	require.NoError(t, err)
	scripted, err := script.ParseDriven("bench", []byte(bench))
	require.NoError(t, err)
	b := &builder{t: t, rng: rand.New(rand.NewPCG(1, 5)), sim: script.Drive(scripted, 1), sheet: s, beat: unit.Second, taps: true}
	b.engine = engine.New(s, func(e *event.Event, _ int64) { b.hears(e) })
	b.begin()
	return b
}

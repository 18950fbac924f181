package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/unit"
)

// The mistakes of hands that tilt a model, each made by one tilt in two or three.
const (
	tiltsWell  = iota
	tiltsEarly // ahead of the count by up to half a second
	tiltsFarEarly
	letsGo       // after a second or two
	letsSink     // slowly
	thereAndBack // at once, and a little too far
	toBothSides  // and is held at the wrong one
	aboutAnother // axis
	tiltsLittle
	tiltsSlowly
	dropsIt // that was raised slowly
	nobodyTilts
	mistakes
)

// tilter is hands that follow the prompts of a drill that tilts, with mistakes.
type tilter struct {
	*builder
	hands   operator.Operator
	drill   string
	mistake int  // of the tilt that comes
	done    bool // it was made ahead of its prompt
	sloppy  bool // mistakes are made at all
	log     []string
}

func (c *tilter) follow(prompt string) {
	step, axis := event.PromptPart(prompt), strings.Split(prompt, "/")[1]
	if c.drill == drill.Response {
		axis = c.sheet.Tilted()
	}
	switch step {
	case "count", "count-2":
		c.count(prompt, axis, step)
	case event.PromptTilted:
		c.tilt(prompt, axis, 1)
	case event.PromptOpposite:
		c.tilt(prompt, axis, -1)
	case "level", "level-2":
		c.between(100, 400)
		for _, a := range []string{"roll", "pitch", "yaw"} {
			c.do("tilt %s 0 over 500ms", a)
		}
	default:
		for _, s := range c.hands.Follow(prompt) {
			c.run(unit.Duration(s.Wait))
			if s.Do != "" {
				c.do("%s", s.Do)
			}
			if s.Enter {
				c.say(c.drill, event.StepDone, prompt)
			}
		}
	}
}

// count draws what will be done wrong, and does it at once where that is ahead of it.
func (c *tilter) count(prompt, axis, step string) {
	c.mistake, c.done = tiltsWell, false
	if c.sloppy && c.rng.IntN(5) > 1 {
		c.mistake = c.rng.IntN(mistakes)
	}
	c.log = append(c.log, fmt.Sprintf("%s: %d", prompt, c.mistake))
	by := c.rng.IntN(500)
	switch c.mistake {
	default:
		return
	case tiltsEarly:
	case tiltsFarEarly:
		by = 500 + c.rng.IntN(1000)
	}
	lasts := 6000
	if step == "count-2" || c.drill == drill.Correction && axis != "pitch" {
		lasts = 3000
	}
	c.run(unit.Duration(lasts-by) * unit.Millisecond)
	way := 1
	if step == "count-2" {
		way = -1
	}
	c.turn(axis, way*c.far(), 300, 550)
	c.done = true
}

func (c *tilter) far() int { return 20 + c.rng.IntN(12) }

// turn takes the time that it takes.
func (c *tilter) turn(axis string, degrees, from, to int) {
	d := from + c.rng.IntN(to-from)
	c.do("tilt %s %d over %dms", axis, degrees, d)
	c.run(unit.Duration(d) * unit.Millisecond)
}

func (c *tilter) tilt(prompt, axis string, way int) {
	if !c.done {
		c.between(100, 700)
		c.wrong(axis, way)
	}
	if c.taps && c.mistake != nobodyTilts && len(c.prompts) == 0 {
		if c.between(900, 1200); len(c.prompts) > 0 {
			return // the count was faster
		}
		c.say(c.drill, event.StepDone, prompt)
	}
}

func (c *tilter) wrong(axis string, way int) {
	brisk := func(degrees int) { c.turn(axis, degrees, 300, 550) }
	switch far := way * c.far(); c.mistake {
	case letsGo:
		brisk(far)
		c.between(600, 1800)
		brisk(0)
	case letsSink:
		brisk(far)
		c.turn(axis, 0, 1500, 2700)
	case thereAndBack:
		brisk(far)
		brisk(-way * c.rng.IntN(10))
	case toBothSides:
		brisk(far)
		brisk(-far)
	case aboutAnother:
		others := map[string][]string{"pitch": {"roll", "yaw"}, "roll": {"pitch", "yaw"}, "yaw": {"pitch", "roll"}}[axis]
		c.turn(pick(c.rng, others...), far, 300, 550)
	case tiltsLittle:
		brisk(way * (1 + c.rng.IntN(8)))
	case tiltsSlowly:
		c.turn(axis, far, 1500, 2500)
	case dropsIt:
		c.turn(axis, far, 1000, 2500)
		c.turn(axis, 0, 200, 300)
	case nobodyTilts:
	default:
		brisk(far)
	}
}

// sitTilting goes through both drills and returns the claims.
func (c *tilter) sitTilting() map[string]*claim.Claim {
	c.do("signal on")
	c.between(1500, 2500)
	for _, name := range []string{drill.Response, drill.Correction} {
		c.drill, c.ended = name, false
		c.say(name, event.StepBegin, "")
		c.between(300, 600)
		c.say(name, event.StepConfirm, "")
		for deadline := c.at.Add(10 * unit.Minute); !c.ended && c.at < deadline; {
			if len(c.prompts) == 0 {
				c.run(20 * unit.Millisecond)
				continue
			}
			prompt := c.prompts[0]
			c.prompts = c.prompts[1:]
			c.follow(prompt)
		}
		c.between(2000, 3000)
	}
	c.step(&event.Input{At: c.at, Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, k := range c.engine.Claims() {
		found[k.ID] = k
	}
	return found
}

func newTilter(t testing.TB, a airframe, setup string, seed uint64) *tilter {
	c := &tilter{builder: newBuilder(t, a, setup, seed), sloppy: true}
	c.hands = operator.Operator{Sheet: c.sheet, Rand: c.rng, ConfirmsTilts: c.taps}
	return c
}

// tiltFamilies are what the stabiliser does, and the claims that may be wrong then.
var tiltFamilies = []struct {
	name  string
	fault func(r *rand.Rand) (settings string, own []string, says string)
}{
	{"right", func(*rand.Rand) (string, []string, string) { return "", nil, "" }},
	{"an axis reversed", func(r *rand.Rand) (string, []string, string) {
		axis := pick(r, "roll", "pitch", "yaw")
		return "fault correction " + axis + " -100%\n", []string{"correction/" + axis + "/output:*"}, axis + " correction"
	}},
	{"an axis dead", func(r *rand.Rand) (string, []string, string) {
		axis := pick(r, "roll", "pitch", "yaw")
		own := []string{"correction/" + axis + "/output:*"}
		if axis == "pitch" {
			own = append(own, "response/upright", "response/damping")
		}
		return "fault correction " + axis + " 0%\n", own, ""
	}},
	{"an axis reversed at one output", func(r *rand.Rand) (string, []string, string) {
		axis, output := pick(r, "roll", "pitch", "yaw"), pick(r, "1", "2", "4")
		return "fault correction " + axis + " -100% at " + output + "\n", []string{"correction/" + axis + "/output:" + output}, axis + " correction"
	}},
}

// Hands that tilt make mistakes, and a helper may confirm them.
func TestCarelessTiltsAccuseNobody(t *testing.T) {
	for _, f := range tiltFamilies {
		for _, a := range airframes {
			t.Run(f.name+"/"+a.name, func(t *testing.T) {
				t.Parallel()
				right, wrong, open := 0, 0, 0
				for seed := range seeds(t) {
					settings, own, says := f.fault(rand.New(rand.NewPCG(seed, 78)))
					a := a
					a.mixes += settings
					c := newTilter(t, a, "receiver main preset\n", seed)
					for id, k := range c.sitTilting() {
						if !strings.HasPrefix(id, "response/") && !strings.HasPrefix(id, "correction/") {
							continue
						}
						switch k.Verdict {
						case claim.VerdictRight:
							right++
							assert.False(t, owned(own, id) && strings.HasPrefix(id, "correction/"), "seed %d, %s: %s %s\n%v", seed, settings, id, k.Sentence, c.log)
						case claim.VerdictWrong:
							wrong++
							assert.True(t, owned(own, id), "seed %d, %s: %s %s\n%v", seed, settings, id, k.Sentence, c.log)
							assert.Contains(t, k.Sentence, says)
						default:
							open++
						}
					}
				}
				t.Logf("right %d, wrong %d, open %d", right, wrong, open)
			})
		}
	}
}

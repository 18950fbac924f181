package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/unit"
)

// drilled is a sitting of careless hands that do drills, on a model by a seed.
type drilled struct {
	*builder
	craft    *craft
	fault    *broken
	hands    operator.Operator
	careless int               // per cent of the prompts at which they make a mistake
	left     []operator.Slip   // those that are to be made still, nil: any
	standing string            // the prompt that stands
	since    unit.Time         // it stands
	itself   bool              // it came by itself
	keys     int               // r and b pressed in this drill
	done     []string          // what they did, for whoever looks for the cause
	wrong    map[string][]line // claims when they were seen wrong first
	hints    int
	stirred  []event.Span      // in which sticks were to be stirred
	flips    []unit.Time       // when they moved a switch
	garbled  int               // runs of wrong frames: with a lever that is flicked, more would be reported, and rightly
	how      map[string]string // how drills ended
}

// line is a verdict's sentence and its moment.
type line struct {
	at   unit.Time
	text string
}

func newDrilled(t testing.TB, c *craft, f *broken, seed uint64) *drilled {
	d := &drilled{craft: c, fault: f, careless: 30, wrong: map[string][]line{}, how: map[string]string{}}
	text := c.bench(f)
	scripted, err := script.ParseDriven("craft", []byte(text))
	require.NoError(t, err, text)
	d.builder = &builder{t: t, rng: rand.New(rand.NewPCG(seed, 41)), sim: script.Drive(scripted, seed), sheet: c.read(t), beat: unit.Second, asks: true}
	d.sim.KeepTruth = true
	d.hands = operator.Operator{Sheet: d.sheet, Rand: d.rng, ConfirmsTilts: true, Bus: "main", Home: c.home()}
	d.engine = engine.New(d.sheet, func(e *event.Event, _ int64) { d.hears(e) })
	d.begin()
	return d
}

func (d *drilled) hears(e *event.Event) {
	if os.Getenv(keepVariable) != "" {
		d.note("    %s %s: %s", e.Kind, e.About, event.Sentence(e))
	}
	switch x := e.Data.(type) {
	case event.DrillPromptedData:
		d.since = e.At
		d.standing, d.prompts = x.Prompt, append(d.prompts, x.Prompt)
	case event.DrillAnsweredData:
		if d.itself = x.By != "builder"; x.Prompt == stirs {
			d.stirred = append(d.stirred, event.Span{From: d.since, To: e.At})
		}
	case event.DrillHintData:
		d.hints++
	case event.DrillEndedData:
		d.ended, d.standing = true, ""
		d.how[strings.TrimPrefix(e.About, "drill:")] = strings.TrimSuffix(x.How+": "+x.Why, ": ")
	case event.VerdictData:
		id := strings.TrimPrefix(e.About, "claim:")
		if x.Verdict == string(claim.VerdictWrong) {
			d.wrong[id] = append(d.wrong[id], line{e.At, x.Sentence})
		}
	}
}

func (d *drilled) note(format string, args ...any) {
	d.done = append(d.done, fmt.Sprintf("%9.3f %s", float64(d.at)/1e9, fmt.Sprintf(format, args...)))
}

func (d *drilled) do(format string, args ...any) {
	step := fmt.Sprintf(format, args...)
	for _, l := range d.craft.levers {
		if strings.HasPrefix(step, l.name+" ") {
			d.flips = append(d.flips, d.at)
		}
	}
	d.note("%s", step)
	d.builder.do("%s", step)
}

// plays is the whole sitting: free play, the drills in any order, a loss.
func (d *drilled) plays(drills []string) map[string]*claim.Claim {
	d.free()
	for _, name := range drills {
		d.drill(name)
	}
	d.loses()
	return d.ends()
}

// ends ends the sitting, and returns the claims.
func (d *drilled) ends() map[string]*claim.Claim {
	d.step(&event.Input{At: d.at, Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, c := range d.engine.Claims() {
		found[c.ID] = c
		if c.Verdict == claim.VerdictWrong { // its last word
			d.wrong[c.ID] = append(d.wrong[c.ID], line{d.at, c.Sentence})
		}
	}
	return found
}

// spoils makes a frame or two wrong, now and then.
func (d *drilled) spoils() {
	if d.garbled < spikesAreMany-2 && d.rng.IntN(100) < 4 {
		d.garbled++
		d.do("garble main %d frames aileron %d %s %d", between(d.rng, 1, 2), one(d.rng, 988, 2012, 1600), d.craft.levers[0].name, one(d.rng, 988, 2012, 1500))
	}
}

// free moves sticks and lets them rest, in a mode that does nothing and in others.
func (d *drilled) free() {
	d.do("signal on")
	d.between(1500, 2500)
	for _, x := range []*cell{d.craft.doing(sheet.DoesNothing), &d.craft.cells[0]} {
		d.puts(x)
		for _, name := range []string{"aileron", "elevator", "rudder"} {
			for _, us := range []int64{988, 2012} {
				d.stick(name, us)
			}
			d.do("release %s", name)
			d.between(600, 900)
		}
		if d.craft.throttled() {
			d.stick("throttle", 2012)
			d.stick("throttle", 1010)
		}
		d.plays1()
		if d.run(unit.Duration(between(d.rng, 4, 16)) * unit.Second); d.fault.rests {
			d.run(14 * unit.Second)
		}
	}
	d.rests()
}

// plays1 is something that careless hands do.
func (d *drilled) plays1() {
	switch d.rng.IntN(4) {
	case 0:
		d.do("slam aileron %d elevator %d over %dms for %dms", one(d.rng, 988, 2012), one(d.rng, 988, 2012), between(d.rng, 40, 140), between(d.rng, 20, 900))
	case 1:
		d.do("circle aileron elevator every %dms for 5s", between(d.rng, 700, 2500))
		d.run(5 * unit.Second)
	case 2:
		d.do("stir aileron elevator rudder for 6s")
		d.run(6 * unit.Second)
	}
	d.between(800, 1500)
}

// puts moves the switches to a cell, one after the other.
func (d *drilled) puts(x *cell) {
	for i, l := range d.craft.levers {
		d.do("%s %s", l.name, l.names[x.at[i]])
		d.between(500, 1200)
	}
}

// rests brings everything home.
func (d *drilled) rests() {
	d.do("release aileron elevator rudder")
	if d.craft.throttled() {
		d.stick("throttle", 1010)
	}
	for _, do := range d.craft.home() {
		d.do("%s", do)
		d.between(300, 600)
	}
	d.between(800, 2000)
}

// loses loses the signal with everything away from its preset.
func (d *drilled) loses() {
	if d.craft.throttled() {
		d.stick("throttle", 1400+d.rng.Int64N(300))
	}
	if d.craft.gain == "knob" {
		d.stick("gain", 1950)
	}
	d.stick("aileron", 1600+d.rng.Int64N(200))
	d.do("stir rudder for 3s")
	d.between(1200, 1800)
	d.do("signal off")
	d.between(6000, 7000)
	d.rests()
	d.do("signal on")
	d.between(4500, 5500)
}

// drill follows a drill until it has ended.
func (d *drilled) drill(name string) {
	d.ended, d.keys, d.prompts = false, 0, nil
	d.note("drill %s", name)
	d.say(name, event.StepBegin, "")
	d.between(300, 600)
	d.say(name, event.StepConfirm, "")
	for deadline := d.at.Add(12 * unit.Minute); !d.ended; {
		require.Less(d.t, d.at, deadline, "the drill %s ends", name)
		if len(d.prompts) == 0 {
			d.run(20 * unit.Millisecond)
			continue
		}
		prompt := d.prompts[len(d.prompts)-1] // those before came and went
		d.prompts = nil
		d.note("prompt %s", prompt)
		d.spoils()
		d.follows(name, prompt)
	}
	if name == drill.PowerUp {
		d.do("signal on")
		d.between(3000, 4000)
	}
	d.rests()
}

// follows does what a prompt asks for, carelessly, and says so where the wire does not.
func (d *drilled) follows(name, prompt string) {
	await := d.await(name, prompt)
	steps := d.hands.Follow(prompt)
	if m := d.errs(await); m != "" {
		d.note("mistake: %s", m)
		var made bool
		if steps, made = d.hands.FollowWithSlip(prompt, m); made {
			d.left = slices.DeleteFunc(d.left, func(x operator.Slip) bool { return x == m })
		}
	}
	d.takes(name, prompt, steps)
	if len(d.prompts) == 0 && d.standing == prompt && len(steps) == 1 && steps[0].Key == event.StepBack {
		d.takes(name, prompt, d.hands.Follow(prompt)) // there is none before it
	}
	if await.After <= 0 && await.Loss != event.PhaseSettled && await.Loss != event.PhaseBack {
		d.insists(name, prompt, await)
	}
}

// insists presses Enter until the prompt goes.
func (d *drilled) insists(name, prompt string, await *drill.Condition) {
	for try := 0; d.standing == prompt && try < 6 && len(d.prompts) == 0; try++ {
		d.between(1300, 2300)
		if await.Loss != "" {
			d.between(8000, 9000)
		}
		if d.standing == prompt && len(d.prompts) == 0 {
			d.enter(name)
		}
	}
}

// errs draws a mistake that can be made at a prompt. An Enter that says that something
// was done which the wire can't show is a lie, and no mistake.
func (d *drilled) errs(await *drill.Condition) operator.Slip {
	if d.rng.IntN(100) >= d.careless {
		return ""
	}
	m := one(d.rng, operator.Slips()...)
	if len(d.left) > 0 {
		m = one(d.rng, d.left...)
	}
	switch {
	case d.pressesEnter(m) && !await.Hold && !await.Told && !await.Marks && len(await.Targets) == 0:
		return ""
	case m == operator.Repeat || m == operator.Back:
		if d.keys++; d.keys > 4 {
			return ""
		}
	}
	return m
}

// pressesEnter reports that a mistake is an Enter for the prompt that stands.
func (d *drilled) pressesEnter(m operator.Slip) bool {
	return m == operator.EarlyEnter || m == operator.WrongKey || m == operator.HastyEnter && !d.hastes()
}

// hastes reports that the prompt has just come by itself: an Enter is for the one before.
func (d *drilled) hastes() bool { return d.itself && d.at.Sub(d.since) <= 50*unit.Millisecond }

func (d *drilled) await(name, prompt string) *drill.Condition {
	p, _ := drill.Find(drill.Plans(d.sheet), name)
	i := slices.IndexFunc(p.Prompts, func(x drill.Prompt) bool { return x.ID == prompt })
	return &p.Prompts[i].Until
}

// takes makes steps, until another prompt comes.
func (d *drilled) takes(name, prompt string, steps []operator.Step) {
	for i, step := range d.dipping(prompt, steps) {
		if d.run(unit.Duration(step.Wait)); len(d.prompts) > 0 {
			d.letsGo(steps[i:])
			return
		}
		if step.Do != "" {
			d.do("%s", step.Do)
		}
		if step.Enter {
			d.enters(name, step.Words)
		}
		if step.Key != "" {
			d.note("key %s", step.Key)
			d.say(name, step.Key, prompt)
		}
	}
}

// letsGo takes back what was begun by mistake, once another thing is asked for.
func (d *drilled) letsGo(left []operator.Step) {
	for _, step := range left {
		if strings.HasPrefix(step.Do, "release ") || strings.HasPrefix(step.Do, "trim ") && strings.HasSuffix(step.Do, " 0") {
			d.do("%s", step.Do)
			d.between(300, 600)
		}
	}
}

func (d *drilled) enter(name string) { d.enters(name, "") }

// enters presses Enter, behind what is typed.
func (d *drilled) enters(name, words string) {
	d.note("Enter at %s: %s", d.standing, words)
	d.tell(name, d.standing, words)
}

// keep writes down what hands did and on which bench, if somebody wants it.
func (d *drilled) keep(name string, f *broken) {
	if dir := os.Getenv(keepVariable); dir != "" {
		text := d.craft.text() + "\n" + d.craft.bench(f) + "\n" + strings.Join(d.done, "\n") + "\n"
		require.NoError(d.t, os.WriteFile(filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".drilled"), []byte(text), 0o600))
	}
}

func (d *drilled) plan(name string) (*drill.Plan, bool) {
	return drill.Find(drill.Plans(d.sheet), name)
}

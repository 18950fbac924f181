package monitor_test

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/unit"
)

// teachingSlip is what careless hands do at a prompt of limit learning, before what it asks for or in its place.
type teachingSlip struct {
	name string
	at   string // the beginning of the prompt's ID behind the drill's name; "" for none
	do   func(o *pupil)
	only bool // and nothing else

	breaks bool // the drill is broken off
}

// teachingSlips are those of a sitting; those but the first leave open whether limits were learned.
func teachingSlips() []teachingSlip {
	return []teachingSlip{
		{name: "none"},
		{name: "a stick before it begins", at: "1", do: func(o *pupil) { o.toAndFro("elevator", 1600+o.rng.IntN(400)) }},
		{name: "a stick while servos move", at: "2", do: func(o *pupil) { o.toAndFro("aileron", 1080+o.rng.IntN(300)) }},
		{name: "another stick", at: "3/left", do: func(o *pupil) { o.toAndFro("rudder", one(o.rng, 1000, 2000)) }},
		{name: "short of the end", at: "4/back", do: func(o *pupil) { o.stick("elevator", 1700+o.rng.Int64N(220)); o.insists() }, only: true},
		{name: "no gesture", at: "1", do: (*pupil).insists, only: true},
		{name: "a press that is too short", at: "1", do: func(o *pupil) {
			for range 2 {
				o.do("press teach for %dms", 200+o.rng.IntN(700))
				o.run(1500 * unit.Millisecond)
			}
			o.insists()
		}, only: true},
		{name: "low rates", at: "before/aileron/left", do: func(o *pupil) { o.do("rate aileron elevator rudder at %d%%", 91+o.rng.IntN(6)) }},
		{name: "a trim", at: "rest", do: func(o *pupil) { o.do("trim elevator %d", 15+o.rng.IntN(40)) }},
		{name: "broken off", at: "3/right", do: func(o *pupil) { o.say(drill.LimitLearning, event.StepAbandon, "") }, only: true, breaks: true},
		{name: "power lost", at: "4/forward", do: func(o *pupil) {
			o.do("power main off")
			o.run(3 * unit.Second)
			o.say(drill.LimitLearning, event.StepAbandon, "")
			o.do("power main on")
			o.run(3 * unit.Second)
		}, only: true, breaks: true},
	}
}

// pupil is hands that follow limit learning with one mistake.
type pupil struct {
	obedient
	slip     teachingSlip
	standing string // the prompt
}

func newTeachingSlip(t *testing.T, m teachingSlip, seed uint64) *pupil {
	s := schooled(t)
	rng := rand.New(rand.NewPCG(seed, 61))
	hold := 400 + rng.IntN(600)
	sweep := 1500 + rng.IntN(2000)
	bench := simtest.Reedwing + reedwing + airframes[0].mixes + "learns by teach holds " + strconv.Itoa(hold) + "ms sweep " + strconv.Itoa(sweep) + "ms\n"
	scripted, err := script.ParseDriven("bench", []byte(bench))
	require.NoError(t, err)
	b := aboveSheet(t, s, bench)
	b.rng, b.sim = rng, script.Drive(scripted, seed)
	b.sim.KeepTruth = true
	b.engine = engine.New(b.sheet, func(e *event.Event, _ int64) {
		if d, ok := e.Data.(event.DrillEndedData); ok && m.breaks && d.How == "abandoned" {
			b.ended = true
			return
		}
		b.hears(e)
	})
	b.begin()
	return &pupil{slip: m, obedient: obedient{b, operator.Operator{Sheet: b.sheet, Rand: rng, ConfirmsTilts: true, Bus: "main",
		Home: []string{"aid second", "stick strength 1485 over 500ms"}}}}
}

// toAndFro moves a stick and lets it go.
func (o *pupil) toAndFro(stick string, us int) {
	o.do("stick %s %d over 400ms", stick, us)
	o.run(unit.Duration(600+o.rng.IntN(500)) * unit.Millisecond)
	o.do("release %s", stick)
	o.run(700 * unit.Millisecond)
}

// insists presses Enter until the prompt goes.
func (o *pupil) insists() {
	for range 3 {
		o.run(1500 * unit.Millisecond)
		if len(o.prompts) == 0 {
			o.say(drill.LimitLearning, event.StepDone, o.standing)
		}
	}
}

// sits follows both drills, and gives the claims.
func (o *pupil) sits() map[string]*claim.Claim {
	o.do("signal on")
	o.run(3 * unit.Second)
	for _, name := range []string{drill.LimitLearning, drill.Learned} {
		p, ok := drill.Find(drill.Plans(o.sheet), name)
		require.True(o.t, ok)
		o.follows(p)
		o.do("release aileron elevator rudder")
		o.run(2 * unit.Second)
	}
	o.step(&event.Input{At: o.at, Kind: event.InputEnd})
	found := map[string]*claim.Claim{}
	for _, c := range o.engine.Claims() {
		found[c.ID] = c
	}
	return found
}

func (o *pupil) follows(p *drill.Plan) {
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
		o.standing, o.prompts = o.prompts[0], o.prompts[1:]
		if o.slip.at != "" && o.standing == drill.LimitLearning+"/"+o.slip.at {
			o.slip.do(o)
			if o.slip.only {
				continue
			}
		}
		o.obeys(p, p.Prompt(o.standing))
	}
}

// short says which output's learned limit is not where a full stick takes it, "" for none; all are where none was learned.
func (o *pupil) short() string {
	state, low, high := "", map[string]int64{}, map[string]int64{}
	for _, f := range o.sim.Truth() {
		switch {
		case f.Kind == "learning":
			state = f.To
		case f.Kind == "limit" && f.To == "low":
			low[f.About] = f.Width
		case f.Kind == "limit":
			high[f.About] = f.Width
		}
	}
	if state != "learned" {
		return "it " + state
	}
	for _, about := range []string{"main/1", "main/2", "main/4"} {
		if low[about] > 1_015_000 || high[about] < 1_985_000 {
			return about
		}
	}
	return ""
}

// What hands do wrong while the receiver learns is told, and it is said to have learned only where it has.
func TestCarelessLimitLearning(t *testing.T) {
	for seed := range seeds(t) {
		for _, m := range teachingSlips() {
			t.Run(strconv.FormatUint(seed, 10)+"/"+m.name, func(t *testing.T) {
				t.Parallel()
				o := newTeachingSlip(t, m, seed)
				found := o.sits()
				done, took := found["learning/done"], found["learning/took"]
				for id, c := range found {
					if strings.HasPrefix(id, "learning/") || m.name == "none" {
						assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", id, c.Sentence)
					}
				}
				if done.Verdict == claim.VerdictRight {
					assert.Empty(t, o.short(), "%s", done.Sentence)
				}
				want := claim.VerdictOpen
				if m.name == "none" {
					want = claim.VerdictRight
				}
				assert.Equal(t, want, done.Verdict, done.Sentence)
				assert.Equal(t, want, took.Verdict, took.Sentence)
				assert.True(t, want == claim.VerdictRight || strings.Contains(done.Sentence, "learn"), done.Sentence)
			})
		}
	}
}

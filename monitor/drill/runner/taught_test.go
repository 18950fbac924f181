package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const learningLines = `
learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [2], lasts: 3s}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: control, channel: elevator, to: [back, forward]}
    - {kind: button, says: press it}
heartbeat:`

// pupil is a rig at the drill of limit learning, and when its gesture was last made.
type pupil struct {
	*rig
	made unit.Time
}

func learns(t *testing.T) *pupil {
	p := &pupil{rig: newRig(t, starter(t, "\nheartbeat:", learningLines))}
	p.hearing.Made = func(name string) unit.Time {
		require.Equal(t, "limit-learning", name)
		return p.made
	}
	p.set("throttle", 988)
	p.start(drill.LimitLearning)
	p.done()
	return p
}

// leads has elevator's output follow its stick, with what is learned and what the receiver adds, ns, for half a second.
func (p *pupil) lead(width unit.Width) { p.pulses(500*unit.Millisecond, lead{2, width, 0}) }

// holds brings a stick to a width, and the elevator's output to another.
func (p *pupil) holds(stick string, micros int64, output unit.Width) {
	p.set(stick, micros)
	p.hear(100 * unit.Millisecond)
	for range 5 {
		p.lead(output)
		p.hear(400 * unit.Millisecond)
	}
}

func (p *pupil) shows() {
	for _, at := range []struct {
		stick  string
		micros int64
		output unit.Width
	}{{"aileron", 988, 1_500_000}, {"aileron", 2012, 1_500_000}, {"aileron", 1500, 0},
		{"elevator", 2012, 1_600_000}, {"elevator", 988, 1_400_000}, {"elevator", 1500, 0}} {
		if at.output == 0 {
			p.set(at.stick, at.micros)
			continue
		}
		p.holds(at.stick, at.micros, at.output)
	}
}

// rests lets sticks rest until the wire has seen it.
func (p *pupil) rests() { p.hear(3 * unit.Second) }

// gesture is made by a hand.
func (p *pupil) gesture() {
	p.hear(unit.Second)
	p.made = p.now
	p.hear(100 * unit.Millisecond)
}

// servos has the output go by itself.
func (p *pupil) servos(by unit.Width) {
	p.lead(1_500_000)
	p.lead(1_500_000 + by)
	p.lead(1_500_000)
	p.hear(3 * unit.Second)
}

func (p *pupil) taught() {
	p.holds("aileron", 988, 1_500_000)
	p.others()
}

// others are the ends behind the first.
func (p *pupil) others() {
	p.holds("aileron", 2012, 1_500_000)
	p.set("aileron", 1500)
	p.holds("elevator", 2012, 1_500_000)
	p.holds("elevator", 988, 1_500_000)
	p.set("elevator", 1500)
}

func (p *pupil) ends() {
	p.done()
	p.hear(4 * unit.Second)
}

// limits is what came of it, nil where it was not ended.
func (p *pupil) limits() *event.LimitsData {
	for _, e := range p.events {
		if d, ok := e.Data.(event.LimitsData); ok {
			return &d
		}
	}
	return nil
}

func TestALearningProcedureThatIsFollowed(t *testing.T) {
	p := learns(t)
	p.shows()
	p.rests()
	p.gesture()
	p.servos(200_000)
	p.taught()
	p.ends()
	kinds := []string{}
	for _, e := range p.events {
		kinds = append(kinds, e.Kind)
	}
	d := p.limits()
	require.NotNil(t, d, "%v", p.said())
	require.Nil(t, d.Doubted(), "%v", d)
	assert.Equal(t, []string{event.LimitsLearned, event.DrillEnded}, kinds[len(kinds)-2:])
	assert.Len(t, d.Count(event.LearnedSeen), 7, "rest, gesture, servos, four ends")
	assert.Equal(t, []string{"see that this holds before the receiver learns, or what it stores is short", "press it"}, d.Count(event.LearnedSaid))
	assert.Equal(t, []event.OutputEnds{{Output: 2, LeastNS: 1_400_000, MostNS: 1_600_000}}, d.Outputs)
}

func TestWhatSpeaksAgainstAStepOfLearning(t *testing.T) {
	for name, x := range map[string]struct {
		rests, gesture, servos, taught func(p *pupil)
		doubt                          string
	}{
		"sticks did not rest": {rests: func(p *pupil) { p.set("elevator", 1700); p.hear(3 * unit.Second); p.set("elevator", 1500); p.done() },
			doubt: "sticks and throttle were not seen at rest before it began"},
		"the throttle was up": {rests: func(p *pupil) { p.set("throttle", 1400); p.hear(3 * unit.Second); p.done() },
			doubt: "sticks and throttle were not seen at rest"},
		"a trim is off": {rests: func(p *pupil) { p.set("elevator", 1520); p.rests(); p.set("elevator", 1500) },
			doubt: "elevator rested at 1520"},
		"a trim is nearly centred": {rests: func(p *pupil) { p.set("elevator", 1507); p.rests(); p.set("elevator", 1500) }},
		"the gesture was not made": {gesture: func(p *pupil) { p.hear(2 * unit.Second); p.done() },
			doubt: "the gesture limit-learning was not seen on the bus"},
		"it was made before": {gesture: func(p *pupil) { p.made = p.now.Add(-4 * unit.Second); p.hear(2 * unit.Second); p.done() },
			doubt: "was not seen on the bus"},
		"a stick went before": {gesture: func(p *pupil) { p.set("aileron", 1570); p.hear(unit.Second); p.set("aileron", 1500); p.gesture() },
			doubt: "aileron moved before the receiver was ready"},
		"a hand trembled before": {gesture: func(p *pupil) { p.set("aileron", 1550); p.hear(unit.Second); p.set("aileron", 1500); p.gesture() }},
		"a stick went meanwhile": {servos: func(p *pupil) { p.set("aileron", 1570); p.servos(200_000); p.set("aileron", 1500) },
			doubt: "aileron moved before the receiver was ready"},
		"no servo went by itself": {servos: func(p *pupil) { p.servos(29_000) }, doubt: "elevator did not move by itself"},
		"it did so in time":       {servos: func(p *pupil) { p.servos(30_000) }},
		"a stick short of its end": {taught: func(p *pupil) {
			p.set("aileron", 1100)
			p.hear(2 * unit.Second)
			p.done()
			p.holds("aileron", 2012, 1_500_000)
			p.set("aileron", 1500)
			p.holds("elevator", 2012, 1_500_000)
			p.holds("elevator", 988, 1_500_000)
		}, doubt: "aileron went to 1100"},
		"low rates": {taught: func(p *pupil) {
			p.holds("aileron", 1008, 1_500_000)
			p.holds("aileron", 2012, 1_500_000)
			p.set("aileron", 1500)
			p.holds("elevator", 2012, 1_500_000)
			p.holds("elevator", 988, 1_500_000)
		}, doubt: "full rates"},
		"another stick to its end": {taught: func(p *pupil) {
			p.set("elevator", 2012)
			p.hear(unit.Second)
			p.set("elevator", 1500)
			p.hear(unit.Second)
			p.taught()
		}, doubt: "elevator went to back where aileron left was asked for"},
		"another stick a good deal": {taught: func(p *pupil) {
			p.set("elevator", 1800)
			p.hear(unit.Second)
			p.set("elevator", 1500)
			p.hear(unit.Second)
			p.taught()
		}},
		"the other end first": {taught: func(p *pupil) { p.set("aileron", 2012); p.hear(unit.Second); p.taught() },
			doubt: "aileron went to right where aileron left was asked for"},
	} {
		t.Run(name, func(t *testing.T) {
			p := learns(t)
			p.shows()
			for _, part := range []struct{ is, plain func(p *pupil) }{
				{x.rests, (*pupil).rests}, {x.gesture, (*pupil).gesture}, {x.servos, func(p *pupil) { p.servos(200_000) }}, {x.taught, (*pupil).taught},
			} {
				if part.is == nil {
					part.is = part.plain
				}
				part.is(p)
			}
			p.ends()
			d := p.limits()
			require.NotNil(t, d, "%v", p.said())
			if x.doubt == "" {
				assert.Nil(t, d.Doubted(), "%v", d)
				return
			}
			require.NotNil(t, d.Doubted(), "%v", d)
			assert.Contains(t, d.Doubted().Doubt, x.doubt)
		})
	}
}

// What is broken off leaves no record.
func TestALearningProcedureThatIsBrokenOff(t *testing.T) {
	p := learns(t)
	p.shows()
	p.rests()
	p.gesture()
	p.step(drill.LimitLearning, event.StepRepeat)
	assert.Equal(t, event.DrillRefused, p.events[len(p.events)-1].Kind, "what the receiver did can't be taken back")
	p.step(drill.LimitLearning, event.StepAbandon)
	assert.Nil(t, p.limits())
}

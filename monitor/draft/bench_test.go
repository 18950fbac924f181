package draft_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/unit"
)

// bench is a person at a simulated bench, and the conversation that listens to it.
type bench struct {
	t      testing.TB
	person *person
	sim    *script.Driver
	talk   *draft.Conversation
	bus    *engine.Bus
	leads  engine.Leads
	at     unit.Time
	said   []string              // what was asked, done and said, for whoever looks for the cause
	inputs func(*event.Input)    // nil, or is told each input
	typed  func(line string)     // nil, or is told each line, with the keys of the terminal
	before func(*draft.Question) // nil, or is called before each question is answered
}

func newBench(t testing.TB, m *truth, seed uint64, careless int) *bench {
	b := newSilentBench(t, m, seed, careless)
	b.begins()
	return b
}

// begins switches the signal on.
func (b *bench) begins() {
	b.do("signal on")
	b.run(2 * time.Second)
}

// newSilentBench is one on which nothing was sent yet.
func newSilentBench(t testing.TB, m *truth, seed uint64, careless int) *bench {
	text := m.bench()
	scripted, err := script.ParseDriven(m.name, []byte(text))
	require.NoError(t, err, text)
	p, _ := protocols.Find("")
	b := &bench{t: t, sim: script.Drive(scripted, seed), talk: draft.New(p), bus: engine.NewBus(p)}
	b.person = newPerson(m, rand.New(rand.NewPCG(seed, 18)), careless)
	return b
}

// resumes has a bus and leads be heard anew, as who was started again does.
func (b *bench) resumes(p *bus.Protocol) { b.bus, b.leads = engine.NewBus(p), engine.Leads{} }

func (b *bench) note(text string) { b.said = append(b.said, unit.FormatClock(b.at)+" "+text) }

func (b *bench) do(step string) {
	b.note("  does " + step)
	require.NoError(b.t, b.sim.Say(int64(b.at), step))
}

func (b *bench) see(o *event.Observation) {
	switch o.Kind {
	case event.FrameSeen:
		b.talk.Frame(o.Wire, o.Frame)
	case event.PulseSeen:
		b.talk.Pulse(o.Pulse.Output, o.Wire.Add(-o.Pulse.Width.Duration()), o.Pulse.Width)
	}
}

// run lets time pass, at least until the question changes.
func (b *bench) run(d time.Duration) (changed bool) {
	asked := b.talk.Asks()
	for end := b.at.Add(unit.Duration(d)); b.at < end; {
		b.at = min(b.at.Add(5*unit.Millisecond), end)
		for _, x := range b.sim.Advance(int64(b.at)) {
			in := &event.Input{At: unit.Time(x.At).Truncate(unit.Microsecond), Tap: uint8(x.Tap + 1), Kind: event.InputBytes, Data: x.Data}
			if b.inputs != nil {
				b.inputs(in)
			}
			if x.Tap == 0 {
				b.bus.Step(in, b.see)
			} else {
				b.leads.Step(in, b.see)
			}
		}
		for _, news := range b.talk.News() {
			b.note("  - " + news)
		}
		if b.talk.Asks() != asked {
			return true
		}
	}
	return false
}

// shown is what the person sees of a question.
func shown(q *draft.Question) prompt {
	p := prompt{id: q.ID, act: string(q.Act), control: q.Control, end: q.End, hasEnter: q.Enter != ""}
	for _, x := range q.Choices {
		p.choices = append(p.choices, x.Word)
	}
	return p
}

// types is what a line does, with the keys of the terminal.
func (b *bench) types(line string) {
	b.note("  types " + line)
	if b.typed != nil {
		b.typed(line)
	}
	switch line {
	case "s":
		b.talk.Skip()
	case "r":
		b.talk.Repeat()
	case "b":
		b.talk.Back()
	default:
		b.talk.Answer(line)
	}
	for _, news := range b.talk.News() {
		b.note("  - " + news)
	}
}

// held are deeds whose hand is let go when another thing is asked for.
func (b *bench) follows(q *draft.Question, slip bool) {
	for _, d := range b.person.follow(shown(q), slip) {
		if d.wait > 0 && b.run(d.wait) {
			b.comesHome()
			return
		}
		if d.do != "" {
			b.do(d.do)
		}
		if d.typed {
			b.types(d.line)
			if d.line == "r" {
				continue
			}
			if b.talk.Asks() != q {
				return
			}
		}
	}
	b.run(3 * time.Second)
}

// comesHome lets go of what springs back, once another thing is asked for.
func (b *bench) comesHome() {
	for _, name := range b.person.model.sticks() {
		require.NoError(b.t, b.sim.Say(int64(b.at), "release "+name))
		require.NoError(b.t, b.sim.Say(int64(b.at), "trim "+name+" 0"))
	}
}

// talks answers all questions.
func (b *bench) talks() { b.talksUntil("") }

// talksUntil answers questions until one that is left.
func (b *bench) talksUntil(id string) {
	tries := 0
	for last := ""; b.talk.Asks() != nil && b.talk.Asks().ID != id; {
		q := b.talk.Asks()
		if b.before != nil {
			b.before(q)
			q = b.talk.Asks()
		}
		b.note(q.ID + ": " + q.Text)
		if tries++; q.ID != last {
			tries = 0
		}
		require.Less(b.t, tries, 12, "%s, %s is never answered:\n%s", b.person.model.name, q.ID, b.tail())
		last = q.ID
		b.follows(q, tries == 0)
	}
}

func (b *bench) tail() (text string) {
	for _, x := range b.said[max(0, len(b.said)-60):] {
		text += x + "\n"
	}
	return text
}

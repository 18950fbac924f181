package draft_test

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// watched is a bench whose inputs an engine judges too.
type watched struct {
	*bench
	engine *engine.Engine
	beat   unit.Time
	wrong  []string
}

func newWatched(b *bench, s *sheet.Sheet) *watched {
	w := &watched{bench: b, beat: b.at.Truncate(unit.Second).Add(unit.Second)}
	w.engine = engine.New(s, func(e *event.Event, _ int64) {
		if d, ok := e.Data.(event.VerdictData); ok && d.Verdict == event.VerdictWrong {
			w.wrong = append(w.wrong, fmt.Sprintf("%s %s: %s", unit.FormatClock(e.At), e.About, d.Sentence))
		}
	})
	start := `{"build":"test","wall_ns":0,"taps":[{"name":"main","kind":"bus"},{"name":"leads","kind":"pulses"}]}`
	w.engine.Step(&event.Input{At: b.at, Kind: event.InputBegin, Data: []byte(start)})
	for tap := range uint8(2) {
		w.engine.Step(&event.Input{At: b.at, Tap: tap + 1, Kind: event.InputTapUp, Data: []byte(`{"port":"simulated"}`)})
	}
	b.inputs = func(in *event.Input) {
		for ; w.beat <= in.At; w.beat = w.beat.Add(unit.Second) {
			w.engine.Step(&event.Input{At: w.beat, Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(w.beat))})
		}
		w.engine.Step(in)
	}
	return w
}

// sits uses the model as its owner does: sticks to their ends, the knob, the switches one after the other, cut.
func (w *watched) sits() {
	p, m := w.person, w.person.model
	for range 12 {
		for _, d := range append(p.something(), deed{wait: p.ms(600, 2500)}) {
			w.run(d.wait)
			if d.do != "" {
				w.do(d.do)
			}
		}
	}
	// Of a receiver that sets no flag it is rightly seen wrong that it says nothing.
	if strings.Contains(m.setup, "receiver main preset") && !strings.Contains(m.setup, "flags none") {
		w.loses()
	}
	w.engine.Step(&event.Input{At: w.at, Kind: event.InputEnd})
}

// something is what an owner does with the model.
func (p *person) something() []deed {
	m := p.model
	switch what := p.rng.IntN(6); {
	case what == 2 && m.gain > 0:
		return p.stroke(prompt{control: "gain", end: "high"})
	case what == 3:
		l := m.levers[p.rng.IntN(len(m.levers))]
		return p.flips(l, p.rng.IntN(len(l.widths)))
	case what == 4 && m.throttle > 0:
		return p.throttles()
	case what == 5:
		return []deed{{do: "stir " + strings.Join(m.sticks(), " ") + " for 4s"}, {wait: 4500 * time.Millisecond}}
	}
	name := m.sticks()[p.rng.IntN(len(m.sticks()))]
	return p.stroke(prompt{control: name, end: m.endsOf(name)[p.rng.IntN(2)]})
}

// throttles moves the throttle, and its cut.
func (p *person) throttles() []deed {
	list := append(p.stroke(prompt{control: "throttle", end: "full"}), deed{wait: 600 * time.Millisecond})
	return append(list, deed{do: "cut on"}, deed{wait: time.Second}, deed{do: "cut off"})
}

// loses loses the signal for a while, with the throttle up and a stick over; the receiver does what the sheet wants.
func (w *watched) loses() {
	m := w.person.model
	list := []deed{{wait: time.Second}}
	if m.throttle > 0 {
		list = append(list, w.person.moves("throttle", (m.idle+m.full)/2)...)
	}
	list = append(list, deed{wait: time.Second}, deed{do: "stir elevator for 4s"}, deed{wait: 1500 * time.Millisecond})
	list = append(list, deed{do: "signal off"}, deed{wait: 7 * time.Second})
	if m.throttle > 0 {
		list = append(list, w.person.moves("throttle", m.idle)...)
	}
	for _, d := range append(list, deed{do: "signal on"}, deed{wait: 5 * time.Second}) {
		w.run(d.wait)
		if d.do != "" {
			w.do(d.do)
		}
	}
}

// A drafted sheet is no trap: in a sitting with the model that it was drafted of, nothing is seen wrong.
func TestNothingIsWrongUnderADraftedSheet(t *testing.T) {
	for _, m := range tenModels() {
		t.Run(m.name, func(t *testing.T) {
			t.Parallel()
			if m.throttle > 0 && strings.Contains(m.setup, "receiver main preset") {
				m.setup += fmt.Sprintf("preset main throttle %d\n", m.cut)
			}
			for seed := range max(1, seeds()/2) {
				b := newBench(t, m, seed+500, 10)
				b.talks()
				text, err := b.talk.Sheet()
				require.NoError(t, err)
				s, _, err := sheet.ReadNew("draft", text)
				require.NoError(t, err)
				b.run(2 * time.Second)
				w := newWatched(b, s)
				w.sits()
				right := 0
				for _, c := range w.engine.Claims() {
					if c.Verdict == event.VerdictRight {
						right++
					}
				}
				assert.Empty(t, w.wrong, "seed %d\n%s", seed, text)
				assert.Positive(t, right, "seed %d", seed)
			}
		})
	}
}

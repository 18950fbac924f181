package draft_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// plays uses everything that the model has, in any order, and some of it again.
func (b *bench) plays() {
	p, m := b.person, b.person.model
	var all [][]deed
	for range 2 {
		for _, name := range m.sticks() {
			for _, end := range m.endsOf(name) {
				all = append(all, p.stroke(prompt{control: name, end: end}))
			}
		}
		if m.gain > 0 {
			all = append(all, p.stroke(prompt{control: "gain", end: "high"}))
		}
		if m.throttle > 0 {
			all = append(all, p.throttles())
		}
		for _, l := range append(append([]*lever{}, m.levers...), m.extra...) {
			if l.springs {
				all = append(all, p.stroke(prompt{control: l.key, end: "pressed"}))
				continue
			}
			all = append(all, p.through(l.key))
		}
	}
	for _, i := range p.rng.Perm(len(all)) {
		for _, d := range append(all[i], deed{wait: p.ms(600, 2500)}) {
			b.run(d.wait)
			if d.do != "" {
				b.do(d.do)
			}
		}
	}
}

// A session in which nobody asked anything gives channels, kinds and widths, as far as they show by themselves.
func TestFreePlayFindsWhatMoved(t *testing.T) {
	protocol, _ := protocols.Find("")
	for _, m := range tenModels() {
		t.Run(m.name, func(t *testing.T) {
			t.Parallel()
			b := newBench(t, m, 11, 0)
			play := draft.NewFreePlay(protocol)
			l := draft.NewListener(protocol, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}, play)
			b.inputs = l.Step
			b.run(3 * time.Second)
			b.plays()
			text, err := play.Sheet()
			require.NoError(t, err)
			s, _, err := sheet.ReadNew("draft", text)
			require.NoError(t, err, string(text))
			for _, name := range m.sticks() {
				x := m.stick[name]
				b.finds(s, x.number, sheet.Stick, []int64{x.ends[0], x.ends[1]})
			}
			if m.gain > 0 {
				b.finds(s, m.gain, sheet.Knob, []int64{m.low, m.high})
			}
			if m.throttle > 0 {
				b.finds(s, m.throttle, sheet.Knob, []int64{min(m.cut, m.full), max(m.cut, m.full)})
			}
			for _, x := range append(append([]*lever{}, m.levers...), m.extra...) {
				for ; x != nil; x = x.also {
					b.finds(s, x.number, sheet.Switch, x.widths)
				}
			}
			_, there := s.Channel(m.teach)
			assert.False(t, there, "nobody moved it")
			assert.Len(t, s.Outputs, len(m.moved), string(text))
			assert.Equal(t, m.beats > 0, s.Heartbeat != nil)
			assert.Contains(t, string(text), "The names are numbers")
			assert.Equal(t, strings.Count(string(text), "name: channel-"), len(s.Channels))
		})
	}
}

func (b *bench) finds(s *sheet.Sheet, number int, kind string, widths []int64) {
	c, ok := s.Channel(number)
	if !assert.True(b.t, ok, "channel %d", number) {
		return
	}
	assert.Equal(b.t, kind, c.Kind, "channel %d", number)
	if !assert.Len(b.t, c.Places, len(widths), "channel %d: %v", number, c.Places) {
		return
	}
	for _, us := range widths {
		near := false
		for _, p := range c.Places {
			near = near || unit.Abs(p.Width-unit.Width(us)*1000) <= 1250
		}
		assert.True(b.t, near, "channel %d: %d among %v", number, us, c.Places)
	}
}

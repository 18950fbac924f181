package draft_test

import (
	"slices"
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
			assert.Contains(t, string(text), "# - what the receiver must do without a signal, channel by channel: failsafe\n")
			for _, x := range s.Channels {
				assert.Equal(t, x.Kind == sheet.Knob, strings.Contains(below(string(text), x.Name), "# open: is it the throttle?"), x.Name)
			}
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

// below are the lines of a channel in a sheet.
func below(text, name string) string {
	_, rest, _ := strings.Cut(text, "    name: "+name+" ")
	lines, _, _ := strings.Cut(rest, "# measured\n    name: ")
	return lines
}

// What an "open" line of a drafted sheet has one put in is read.
func TestWhatIsOpenCanBePutIn(t *testing.T) {
	protocol, _ := protocols.Find("")
	b := newBench(t, tenModels()[0], 11, 0)
	play := draft.NewFreePlay(protocol)
	b.inputs = draft.NewListener(protocol, []event.TapName{{Name: "main", Kind: "bus"}}, play).Step
	b.run(3 * time.Second)
	b.plays()
	text, err := play.Sheet()
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	at := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, "is it the throttle?") })
	require.Positive(t, at)
	put := slices.Clone(lines[:at-3])
	for _, l := range lines[at+1 : at+6] {
		put = append(put, strings.Replace(l, "# ", "", 1))
	}
	put = append(put, lines[at+6:]...)
	at = slices.IndexFunc(put, func(l string) bool { return strings.Contains(l, "does it choose") })
	require.Positive(t, at)
	mode := put[at+1 : at+5]
	put = slices.Concat(put, []string{""})
	for _, l := range mode {
		put = append(put, strings.Replace(strings.TrimPrefix(l, "    # "), "MODE", "off", 1))
	}
	s, _, err := sheet.ReadNew("open", []byte(strings.Join(put, "\n")+"\n"))
	require.NoError(t, err, strings.Join(put, "\n"))
	assert.Len(t, s.Stabiliser.Modes, 1)
	assert.True(t, slices.ContainsFunc(s.Channels, func(c sheet.Channel) bool { return c.Kind == sheet.Throttle }))
}

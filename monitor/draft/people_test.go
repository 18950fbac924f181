package draft_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func seeds() uint64 {
	if n, err := strconv.ParseUint(os.Getenv("BENCHPROOF_SEEDS"), 10, 32); err == nil {
		return n
	}
	return 2
}

// twoCounts is how far a position may lie from the truth, ns.
const twoCounts unit.Width = 1250

// differing compares a sheet with a model.
type differing struct {
	sheet    *sheet.Sheet
	expected map[int]bool // channels
	list     []string
}

func (d *differing) wrong(format string, args ...any) {
	d.list = append(d.list, fmt.Sprintf(format, args...))
}

// has wants a channel of a kind, with places in µs.
func (d *differing) has(number int, kind string, places map[string]int64) {
	d.expected[number] = true
	c, ok := d.sheet.Channel(number)
	if !ok {
		d.wrong("channel %d is lacking", number)
		return
	}
	if c.Kind != kind || len(places) > 0 && len(c.Places) != len(places) {
		d.wrong("channel %d is a %s with %v, want a %s with %v", number, c.Kind, c.Places, kind, places)
	}
	for name, us := range places {
		if p, ok := c.Place(name); !ok || unit.Abs(p.Width-unit.Width(us)*1000) > twoCounts {
			d.wrong("channel %d: %s at %v, want %d", number, name, p.Width, us)
		}
	}
}

// switched wants a switch with the places of a lever, in their order; one of two places may begin with either.
func (d *differing) switched(l *lever) {
	d.has(l.number, sheet.Switch, nil)
	c, ok := d.sheet.Channel(l.number)
	if !ok || len(c.Places) != len(l.widths) {
		d.wrong("channel %d is %v, want %v", l.number, c, l.widths)
		return
	}
	near := func(i int, us int64) bool { return unit.Abs(c.Places[i].Width-unit.Width(us)*1000) <= twoCounts }
	for i, us := range l.widths {
		if !near(i, us) && (len(l.widths) != 2 || !near(1-i, us)) {
			d.wrong("channel %d: place %d at %d, want %d", l.number, i, c.Places[i].Width, us)
		}
	}
}

// differs lists where a sheet is not as the model is.
func (m *truth) differs(s *sheet.Sheet) []string {
	d := &differing{sheet: s, expected: map[int]bool{}}
	for _, name := range m.sticks() {
		x, ends := m.stick[name], m.endsOf(name)
		d.has(x.number, sheet.Stick, map[string]int64{ends[0]: x.ends[0], ends[1]: x.ends[1]})
		if c, ok := s.Channel(x.number); ok && unit.Abs(c.Neutral-unit.Width(x.neutral)*1000) > 2*twoCounts {
			d.wrong("%s rests at %d, want %d", name, c.Neutral, x.neutral)
		}
	}
	m.throttleDiffers(d)
	if m.gain > 0 {
		d.has(m.gain, sheet.Knob, map[string]int64{"low": m.low, "high": m.high})
	}
	m.leversDiffer(d)
	if m.teach > 0 {
		d.has(m.teach, sheet.Momentary, map[string]int64{"rest": m.rest, "pressed": m.pressed})
	}
	for _, c := range s.Channels {
		if !d.expected[c.Number] {
			d.wrong("channel %d (%s) is none of the model's", c.Number, c.Name)
		}
	}
	if beats := s.Heartbeat != nil; beats != (m.beats > 0) || beats && s.Heartbeat.Channel != m.beats {
		d.wrong("heartbeat %v, want %d", s.Heartbeat, m.beats)
	}
	return append(d.list, m.outputsDiffer(s)...)
}

func (m *truth) throttleDiffers(d *differing) {
	if m.throttle == 0 {
		return
	}
	places := map[string]int64{"cut": m.cut, "idle": m.idle, "full": m.full}
	if m.cut == m.idle {
		delete(places, "idle")
	}
	d.has(m.throttle, sheet.Throttle, places)
}

func (m *truth) leversDiffer(d *differing) {
	for _, l := range append(append([]*lever{}, m.levers...), m.extra...) {
		for ; l != nil; l = l.also {
			if l.springs {
				d.has(l.number, sheet.Momentary, map[string]int64{"rest": l.widths[0], "pressed": l.widths[1]})
				continue
			}
			d.switched(l)
		}
	}
}

func (m *truth) outputsDiffer(s *sheet.Sheet) (list []string) {
	if len(s.Outputs) != len(m.moved) {
		list = append(list, fmt.Sprintf("%d outputs, want %d", len(s.Outputs), len(m.moved)))
	}
	for _, o := range s.Outputs {
		want := m.moved[o.Number]
		if len(o.MovedBy) != len(want) {
			list = append(list, fmt.Sprintf("output %d is moved by %v, want %v", o.Number, o.MovedBy, want))
			continue
		}
		for _, x := range o.MovedBy {
			c, _ := s.Channel(x.Channel)
			if share := int64(want[c.Name]) * 10_000; max(x.Weight-share, share-x.Weight) > 50_000 {
				list = append(list, fmt.Sprintf("output %d: %s %d ppm, want %d", o.Number, c.Name, x.Weight, share))
			}
		}
	}
	return list
}

// modesDiffer lists the modes that are not asked for where the model has them.
func (m *truth) modesDiffer(s *sheet.Sheet) (list []string) {
	for _, want := range m.modes {
		widths := map[int]unit.Width{}
		for i, l := range m.levers {
			for x := l; x != nil; x = x.also {
				widths[x.number] = unit.Width(x.widths[want.at[i]]) * 1000
			}
		}
		if got, _ := s.ModeAt(func(n int) unit.Width { return widths[n] }); got != want.name {
			list = append(list, fmt.Sprintf("at %v the sheet has %q, want %q", want.at, got, want.name))
		}
	}
	return list
}

// Careless people, who know what is asked for and their own model, come to a sheet that equals it within five minutes.
func TestPeopleDraftTheirModels(t *testing.T) {
	for _, m := range tenModels() {
		t.Run(m.name, func(t *testing.T) {
			t.Parallel()
			var longest unit.Duration
			for seed := range seeds() {
				b := newBench(t, m, 4000+seed, 30)
				began := b.at
				b.talks()
				took := b.at.Sub(began)
				longest = max(longest, took)
				text, err := b.talk.Sheet()
				require.NoError(t, err, "seed %d", seed)
				s, doubts, err := sheet.ReadNew("draft", text)
				require.NoError(t, err, string(text))
				if os.Getenv("BENCHPROOF_KEEP") != "" {
					t.Log(string(text), doubts)
				}
				wrong := append(m.differs(s), m.modesDiffer(s)...)
				assert.Empty(t, wrong, "seed %d:\n%s\n%s", seed, strings.Join(b.said, "\n"), text)
				assert.Less(t, took, 5*unit.Minute, "seed %d", seed)
			}
			t.Logf("at most %v", unit.FormatDuration(longest))
		})
	}
}

package claim_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// court is a book and the clock of its events.
type court struct {
	t     *testing.T
	sheet *sheet.Sheet
	book  *claim.Book
	now   unit.Time
}

func open(t *testing.T, text string) *court {
	t.Helper()
	s, err := sheet.Read("sheet", []byte(text))
	require.NoError(t, err)
	return &court{t: t, sheet: s, book: claim.New(s)}
}

func starter(t *testing.T) *court { return open(t, string(sheettest.TwoSwitches())) }

// hear folds one event in, a second after the last. Each time the book goes
// through its state, as a checkpoint would have it.
func (c *court) hear(kind, about string, data any) {
	c.t.Helper()
	c.hearFrom(c.now.Add(800*unit.Millisecond), kind, about, data)
}

// hearFrom folds one in whose onset lies back.
func (c *court) hearFrom(from unit.Time, kind, about string, data any) {
	c.t.Helper()
	c.now = c.now.Add(unit.Second)
	e := event.Event{At: c.now, From: from, Kind: kind, About: about, Data: data}
	c.book.See(&e, func(k *claim.Claim, was claim.Verdict) {
		assert.NotEqual(c.t, was, k.Verdict, k.ID)
	})
	raw, err := json.Marshal(c.book)
	require.NoError(c.t, err)
	c.book = claim.New(c.sheet)
	require.NoError(c.t, json.Unmarshal(raw, c.book))
}

func (c *court) claim(id string) *claim.Claim {
	c.t.Helper()
	for _, k := range c.book.Claims() {
		if k.ID == id {
			return k
		}
	}
	c.t.Fatalf("no claim %s", id)
	return nil
}

func (c *court) verdict(id string) claim.Verdict { c.t.Helper(); return c.claim(id).Verdict }

// verdicts are all that are not open, by ID.
func (c *court) verdicts() map[string]claim.Verdict {
	m := map[string]claim.Verdict{}
	for _, k := range c.book.Claims() {
		if k.Verdict != claim.VerdictOpen {
			m[k.ID] = k.Verdict
		}
	}
	return m
}

// stands is a switch that stands somewhere: at the place whose width is nearest.
func (c *court) stands(name string, us float64) {
	c.t.Helper()
	c.standsUnder(name, us, event.SignalLive, false)
}

func (c *court) standsUnder(name string, us float64, signal event.Signal, suspect bool) {
	c.t.Helper()
	ch, ok := c.sheet.ByName(name)
	require.True(c.t, ok)
	w, best := unit.Width(us*1000), ch.Places[0]
	for _, p := range ch.Places {
		if dist(w, p.Width) < dist(w, best.Width) {
			best = p
		}
	}
	off := w - best.Width
	c.hear(event.SwitchMoved, "switch:"+name, event.SwitchData{
		Tap: "main", To: best.Name, Was: "somewhere", WidthNS: w, OffNS: off,
		Within: dist(w, best.Width) <= c.sheet.Tolerance.Position, Signal: signal, Suspect: suspect,
	})
}

func dist(a, b unit.Width) unit.Width { return max(a-b, b-a) }

// toAndFro is a switch that leaves its narrowest place and comes back.
func (c *court) toAndFro(name string) {
	c.t.Helper()
	c.stands(name, 2012)
	c.stands(name, 988)
}

// works has both mode switches move, about widths at which they ask for nothing that
// is wanted there.
func (c *court) works() {
	c.t.Helper()
	c.asks(1400, 1100)
	c.asks(1440, 1140)
}

// asks is the mode watcher's event for widths of inner and outer.
func (c *court) asks(a, b float64) { c.t.Helper(); c.asksUnder(a, b, event.SignalLive, false, false) }

func (c *court) asksUnder(a, b float64, signal event.Signal, suspect, passing bool) {
	c.t.Helper()
	w := map[string]unit.Width{"inner": unit.Width(a * 1000), "outer": unit.Width(b * 1000)}
	mode, _ := c.sheet.ModeAt(func(n int) unit.Width {
		ch, _ := c.sheet.Channel(n)
		return w[ch.Name]
	})
	c.hear(event.ModeAsked, "stabiliser", event.ModeData{Tap: "main", Mode: mode, Passing: passing, Widths: w, Signal: signal, Suspect: suspect})
}

// did is an answer to a prompt: channel number → widths in µs that it went
// through, first and last being where it was and is.
func (c *court) did(prompt string, moves map[int][]float64) {
	c.t.Helper()
	c.hear(event.DrillAnswered, "drill:x", c.answer(prompt, moves))
}

func (c *court) answer(prompt string, moves map[int][]float64) event.DrillAnsweredData {
	d := event.DrillAnsweredData{Prompt: prompt, By: "builder", Tap: "main", Signal: event.SignalLive, Frames: 100}
	for n := 1; n <= 16; n++ {
		w, ok := moves[n]
		if !ok {
			w = []float64{1500}
		}
		m := event.ChannelMove{Channel: n, FromNS: unit.Width(w[0] * 1000), ToNS: unit.Width(w[len(w)-1] * 1000), LeastNS: 1 << 40}
		for _, x := range w {
			m.LeastNS, m.MostNS = min(m.LeastNS, unit.Width(x*1000)), max(m.MostNS, unit.Width(x*1000))
		}
		d.Channels = append(d.Channels, m)
	}
	return d
}

// answers has a channel answer, so that one that does not move says something.
func (c *court) answers() {
	c.t.Helper()
	c.did("limit-learning/ready", map[int][]float64{6: {1500, 1700}})
}

// placed has each switch stand at each of its places.
func (c *court) placed() {
	for _, w := range []float64{988, 1500, 2012} {
		c.stands("inner", w)
	}
	c.stands("outer", 988)
	c.stands("outer", 2012)
}

package report

import (
	"fmt"
	"slices"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// How traces are thinned out. A channel at rest costs nothing; one that moves
// gets a point each 20 ms, which a print can't resolve any finer.
const (
	pace   = 20 * fact.Millisecond
	worth  = 2 // counts: less is the jitter of a control at rest (common practice: one count)
	before = fact.Second
	after  = fact.Second
	most   = 20 * fact.Second // of evidence in one trace; of longer ones the end is shown
	quiet  = 100 * fact.Millisecond
)

// tracer follows what the taps carry while a bench judges. It is the bench's
// source: when the bench asks for its next input, the one before has been judged.
type tracer struct {
	of    monitor.Source
	bench *monitor.Bench
	sheet *sheet.Sheet
	taps  []follow // of tap n: taps[n-1]
	tap   uint8    // of the last input
	last  fact.Time
}

// follow is what one tap carried so far.
type follow struct {
	lines  [servobus.Channels]course
	signal []Signal
	at     fact.Time // wire time of the latest frame taken
	heard  bool
}

// course is one channel: when its count changed, and to what.
type course struct {
	at    []fact.Time
	count []uint16
}

// Next implements monitor.Source.
func (t *tracer) Next(in *fact.Input) error {
	if t.tap != fact.BenchTap {
		t.look(t.tap)
	}
	if err := t.of.Next(in); err != nil {
		return err
	}
	t.tap, t.last = in.Tap, max(t.last, in.At)
	return nil
}

func (t *tracer) look(tap uint8) {
	f, at, ok := t.bench.Latest(tap)
	if !ok {
		return
	}
	for len(t.taps) < int(tap) {
		t.taps = append(t.taps, follow{})
	}
	w := &t.taps[tap-1]
	if w.heard && at <= w.at {
		return
	}
	if w.heard && at-w.at > quiet {
		w.whose(w.at, "silent")
	}
	w.heard, w.at = true, at
	w.whose(at, whose(f))
	for i := range w.lines {
		w.lines[i].take(at, f.Counts[i])
	}
}

func whose(f *servobus.Frame) string {
	switch {
	case f.Failsafe():
		return string(fact.Failsafe)
	case f.FrameLost():
		return string(fact.Missed)
	}
	return string(fact.Live)
}

func (w *follow) whose(at fact.Time, who string) {
	if n := len(w.signal); n == 0 || w.signal[n-1].Whose != who {
		w.signal = append(w.signal, Signal{at, who})
	}
}

func (c *course) take(at fact.Time, count uint16) {
	n := len(c.at)
	if n > 0 {
		moved := int(count) - int(c.count[n-1])
		if max(moved, -moved) < worth || at-c.at[n-1] < pace {
			return
		}
	}
	c.at, c.count = append(c.at, at), append(c.count, count)
}

// cut cuts a trace out of the course of a tap: the channels around a span.
func (t *tracer) cut(id string, tap int, span fact.Span, channels []int) Trace {
	names := t.bench.View().Taps
	w := &t.taps[tap]
	r := Trace{ID: id, Tap: names[tap+1].Name, FromNS: max(0, span.From-before), ToNS: min(t.last, span.To+after)}
	for _, n := range channels {
		l := Line{Channel: n, Points: [][2]int64{}}
		if c, ok := t.sheet.Channel(n); ok {
			l.Name = c.Name
		}
		c := &w.lines[n-1]
		for i := begin(c.at, r.FromNS); i < len(c.at) && c.at[i] <= r.ToNS; i++ {
			l.Points = append(l.Points, [2]int64{max(int64(c.at[i]), int64(r.FromNS)), t.sheet.Scale.Width(int64(c.count[i]))})
		}
		r.Lines = append(r.Lines, l)
	}
	r.Signal = []Signal{}
	starts := make([]fact.Time, 0, len(w.signal))
	for _, s := range w.signal {
		starts = append(starts, s.FromNS)
	}
	for i := begin(starts, r.FromNS); i < len(starts) && starts[i] <= r.ToNS; i++ {
		r.Signal = append(r.Signal, Signal{max(starts[i], r.FromNS), w.signal[i].Whose})
	}
	return r
}

// begin is the index of what holds at a moment: the last at or before it, or the
// first of all.
func begin(at []fact.Time, from fact.Time) int {
	i, found := slices.BinarySearch(at, from)
	if !found && i > 0 {
		i--
	}
	return i
}

// heardAt is the first bus tap that carried frames within a span, -1 for none.
func (t *tracer) heardAt(span fact.Span) int {
	for i := range t.taps {
		if l := &t.taps[i].lines[0]; len(l.at) > 0 && l.at[0] <= span.To {
			return i
		}
	}
	return -1
}

// tapCalled is the index in taps of a tap, -1 for none.
func (t *tracer) tapCalled(name string) int {
	for i := range t.bench.View().Taps {
		if i > 0 && t.bench.View().Taps[i].Name == name {
			return i - 1
		}
	}
	return -1
}

// album holds the traces of a record; the same moment with the same channels is
// kept once.
type album struct {
	from   *tracer
	traces []Trace
	byKey  map[string]string
}

func (a *album) add(tap int, span fact.Span, channels []int) string {
	if tap < 0 || tap >= len(a.from.taps) || len(channels) == 0 {
		return ""
	}
	span.From = max(span.From, span.To-most)
	key := fmt.Sprint(tap, span, channels)
	if id, there := a.byKey[key]; there {
		return id
	}
	id := fmt.Sprintf("trace-%d", len(a.traces)+1)
	a.traces = append(a.traces, a.from.cut(id, tap, span, channels))
	a.byKey[key] = id
	return id
}

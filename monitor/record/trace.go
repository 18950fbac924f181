package record

import (
	"fmt"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// How traces are thinned out. A channel at rest costs nothing; one that moves
// gets a point each 20 ms, which a print can't resolve any finer.
const (
	pace        = 20 * unit.Millisecond
	worth       = 2 // quanta, see base.View: less is the jitter of a control at rest (common practice: one count)
	traceBefore = unit.Second
	traceAfter  = unit.Second
	traceMost   = 20 * unit.Second // of evidence in one trace; of longer ones the end is shown
	quiet       = 100 * unit.Millisecond
)

// Tracer follows what the taps carry while a bench judges.
type Tracer struct {
	Engine *engine.Engine
	Sheet  *sheet.Sheet
	taps   []tapTrace // of tap n: taps[n-1]
	last   unit.Time  // date of the latest input
}

// tapTrace is what one tap carried so far.
type tapTrace struct {
	lines  [bus.MaxChannels]channelTrace
	signal []Signal
	at     unit.Time // wire time of the latest frame taken
	heard  bool
}

// channelTrace is one channel: when its count changed, and to what.
type channelTrace struct {
	at    []unit.Time
	count []uint32
}

// Judged follows each input that the engine judged.
func (t *Tracer) Judged(in *event.Input) {
	t.last = max(t.last, in.At)
	if in.Tap != event.BenchTap {
		t.sampleTap(in.Tap)
	}
}

func (t *Tracer) sampleTap(tap uint8) {
	f, at, ok := t.Engine.Latest(tap)
	if !ok {
		return
	}
	for len(t.taps) < int(tap) {
		t.taps = append(t.taps, tapTrace{})
	}
	w := &t.taps[tap-1]
	if w.heard && at <= w.at {
		return
	}
	if w.heard && at.Sub(w.at) > quiet {
		w.whose(w.at, "silent")
	}
	w.heard, w.at = true, at
	w.whose(at, whose(f))
	quantum := int64(t.Engine.View().Quantum)
	for i := range t.Sheet.Protocol.Channels {
		w.lines[i].take(at, f.Counts[i], quantum)
	}
}

func whose(f *bus.Frame) string {
	switch {
	case f.Failsafe():
		return string(event.SignalFailsafe)
	case f.Lost():
		return string(event.SignalMissed)
	}
	return string(event.SignalLive)
}

func (w *tapTrace) whose(at unit.Time, who string) {
	if n := len(w.signal); n == 0 || w.signal[n-1].Whose != who {
		w.signal = append(w.signal, Signal{at, who})
	}
}

func (c *channelTrace) take(at unit.Time, count uint32, quantum int64) {
	n := len(c.at)
	if n > 0 {
		moved := int64(count) - int64(c.count[n-1])
		if max(moved, -moved) < worth*quantum || at.Sub(c.at[n-1]) < pace {
			return
		}
	}
	c.at, c.count = append(c.at, at), append(c.count, count)
}

// cut cuts a trace out of the course of a tap: the channels around a span.
func (t *Tracer) cut(id string, tap int, span event.Span, channels []int) Trace {
	names := t.Engine.View().Taps
	w := &t.taps[tap]
	r := Trace{ID: id, Tap: names[tap+1].Name, FromNS: max(0, span.From.Add(-traceBefore)), ToNS: min(t.last, span.To.Add(traceAfter))}
	for _, n := range channels {
		l := TraceLine{Channel: n, Points: [][2]int64{}}
		if c, ok := t.Sheet.Channel(n); ok {
			l.Name = c.Name
		}
		c := &w.lines[n-1]
		for i := begin(c.at, r.FromNS); i < len(c.at) && c.at[i] <= r.ToNS; i++ {
			l.Points = append(l.Points, [2]int64{int64(max(c.at[i], r.FromNS)), int64(t.Sheet.Width(c.count[i]))})
		}
		r.Lines = append(r.Lines, l)
	}
	r.Signal = []Signal{}
	starts := make([]unit.Time, 0, len(w.signal))
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
func begin(at []unit.Time, from unit.Time) int {
	i, found := slices.BinarySearch(at, from)
	if !found && i > 0 {
		i--
	}
	return i
}

// heardAt is the first bus tap that carried frames within a span, -1 for none.
func (t *Tracer) heardAt(span event.Span) int {
	for i := range t.taps {
		if l := &t.taps[i].lines[0]; len(l.at) > 0 && l.at[0] <= span.To {
			return i
		}
	}
	return -1
}

// tapCalled is the index in taps of a tap, -1 for none.
func (t *Tracer) tapCalled(name string) int {
	for i := range t.Engine.View().Taps {
		if i > 0 && t.Engine.View().Taps[i].Name == name {
			return i - 1
		}
	}
	return -1
}

// traceSet holds the traces of a record; the same moment with the same channels is
// kept once.
type traceSet struct {
	from   *Tracer
	traces []Trace
	byKey  map[string]string
}

func (a *traceSet) add(tap int, span event.Span, channels []int) string {
	if tap < 0 || tap >= len(a.from.taps) || len(channels) == 0 {
		return ""
	}
	span.From = max(span.From, span.To.Add(-traceMost))
	key := fmt.Sprint(tap, span, channels)
	if id, there := a.byKey[key]; there {
		return id
	}
	id := fmt.Sprintf("trace-%d", len(a.traces)+1)
	a.traces = append(a.traces, a.from.cut(id, tap, span, channels))
	a.byKey[key] = id
	return id
}

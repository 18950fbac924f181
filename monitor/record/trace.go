package record

import (
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

// Tracer follows what the taps carry while an engine judges. Its exported fields are what
// a checkpoint keeps.
type Tracer struct {
	Taps []tapTrace // of tap n: Taps[n-1]
	Last unit.Time  // date of the latest input

	sheet *sheet.Sheet
	most  int // points of one channel, and changes of a signal, that are remembered; 0: all
}

// NewTracer makes one that remembers all.
func NewTracer(s *sheet.Sheet) *Tracer { return &Tracer{sheet: s} }

// tapTrace is what one tap carried so far, or the latest of it.
type tapTrace struct {
	Lines []course // by channel
	Whose signals
	At    unit.Time // wire time of the latest frame taken
	Heard bool
	First unit.Time // wire time of the first

	now []uint32 // the latest point of each channel; nil: to be looked up
}

// Judged follows each input that an engine judged.
func (t *Tracer) Judged(in *event.Input, e *engine.Engine) {
	t.Last = max(t.Last, in.At)
	if in.Tap != event.BenchTap {
		t.sampleTap(in.Tap, e)
	}
}

func (t *Tracer) sampleTap(tap uint8, e *engine.Engine) {
	f, at, ok := e.Latest(tap)
	if !ok {
		return
	}
	for len(t.Taps) < int(tap) {
		t.Taps = append(t.Taps, tapTrace{Lines: make([]course, t.sheet.Protocol.Channels)})
	}
	w := &t.Taps[tap-1]
	switch {
	case !w.Heard:
		w.Heard, w.First = true, at
	case at <= w.At:
		return
	case at.Sub(w.At) > quiet:
		w.Whose.take(w.At, "silent", t.most)
	}
	w.At = at
	w.Whose.take(at, whose(f), t.most)
	least := worth * int64(e.View().Quantum)
	if w.now == nil {
		for i := range w.Lines {
			w.now = append(w.now, w.Lines[i].latest(at, f.Counts[i]))
		}
	}
	for i, was := range w.now { // looked at with each frame, so next to one another
		if moved := int64(f.Counts[i]) - int64(was); moved >= least || -moved >= least {
			w.now[i] = w.Lines[i].take(at, f.Counts[i], t.most)
		}
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

// heardAt is the first bus tap that carried frames within a span, -1 for none.
func (t *Tracer) heardAt(span event.Span) int {
	return slices.IndexFunc(t.Taps, func(w tapTrace) bool { return w.Heard && w.First <= span.To })
}

// tapCalled is the index in Taps of a tap of the engine, -1 for none.
func tapCalled(name string, e *engine.Engine) int {
	names := e.View().Taps
	for i := 1; i < len(names); i++ {
		if names[i].Name == name {
			return i - 1
		}
	}
	return -1
}

// part is what a trace of some channels in a stretch is drawn from; false: it is not all
// remembered any more.
func (t *Tracer) part(tap int, span event.Span, channels []int) (p tracePart, whole bool) {
	from, to := around(span)
	w := &t.Taps[tap]
	whole = w.Whose.reaches(from)
	p.Whose = w.Whose.between(from, to)
	for _, n := range channels {
		c := &w.Lines[n-1]
		whole = whole && c.reaches(from)
		p.Lines = append(p.Lines, c.between(from, to))
	}
	return p, whole
}

// around is the stretch that the trace of a span shows.
func around(span event.Span) (from, to unit.Time) {
	return max(0, span.From.Add(-traceBefore)), span.To.Add(traceAfter)
}

// latest is the part of a span that a trace shows.
func latest(span event.Span) event.Span {
	return event.Span{From: max(span.From, span.To.Add(-traceMost)), To: span.To}
}

// draw makes a trace of a part.
func (t *Tracer) draw(id, tap string, p *tracePart, span event.Span, channels []int) Trace {
	r := Trace{ID: id, Tap: tap, Signal: []Signal{}}
	r.FromNS, r.ToNS = around(span)
	r.ToNS = min(t.Last, r.ToNS)
	for k, n := range channels {
		l := TraceLine{Channel: n, Points: [][2]int64{}}
		if c, ok := t.sheet.Channel(n); ok {
			l.Name = c.Name
		}
		c := &p.Lines[k]
		for i := 0; i < len(c.At) && c.At[i] <= r.ToNS; i++ {
			l.Points = append(l.Points, [2]int64{int64(max(c.At[i], r.FromNS)), int64(t.sheet.Width(c.Count[i]))})
		}
		r.Lines = append(r.Lines, l)
	}
	for i := 0; i < len(p.Whose.At) && p.Whose.At[i] <= r.ToNS; i++ {
		r.Signal = append(r.Signal, Signal{max(p.Whose.At[i], r.FromNS), p.Whose.Whose[i]})
	}
	return r
}

package record

import (
	"fmt"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
)

// traceSet holds the traces of a record; the same moment with the same channels is
// kept once.
type traceSet struct {
	from   *Tracer
	engine *engine.Engine
	traces []Trace
	byKey  map[string]string
	lacks  bool // something that a trace shows is not remembered any more
}

// add adds a trace, unless there is one like it, and returns its ID. kept is what was kept
// for it, nil for nothing.
func (a *traceSet) add(kept *keptTrace, tap int, span event.Span, channels []int) string {
	if tap < 0 || tap >= len(a.from.Taps) || len(channels) == 0 {
		return ""
	}
	span = latest(span)
	key := fmt.Sprint(tap, span, channels)
	if id, there := a.byKey[key]; there {
		return id
	}
	var p tracePart
	whole := false
	if kept != nil && kept.has(span) && kept.Tap == tap {
		p, whole = kept.tracePart, kept.Whole
	} else {
		p, whole = a.from.part(tap, span, channels)
	}
	a.lacks = a.lacks || !whole
	id := fmt.Sprintf("trace-%d", len(a.traces)+1)
	name := a.engine.View().Taps[tap+1].Name
	a.traces = append(a.traces, a.from.draw(id, name, &p, span, channels))
	a.byKey[key] = id
	return id
}

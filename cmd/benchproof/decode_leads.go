package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/pulse"
	"benchproof.example/decode/waveform"
)

// leads prints the pulses of servo leads, each signal an output.
type leads struct {
	names    []string
	meters   []*pulse.Meter
	lines    *json.Encoder
	inverted bool
	found    []pulseLine // by one edge
}

func newLeads(names []string, rate edge.Rate, lines *json.Encoder, inverted bool) *leads {
	l := &leads{names: names, lines: lines, inverted: inverted}
	for i := range names {
		l.meters = append(l.meters, pulse.NewMeter(i+1, rate, pulse.CommonLimits()))
	}
	return l
}

func (l *leads) take(e *waveform.Event) error {
	for i, m := range l.meters {
		if i != e.Signal {
			m.Pass(e.Tick, l.see)
		}
	}
	at := e.Edge
	if l.inverted {
		at.Level = at.Level.Not()
	}
	l.meters[e.Signal].Edge(at, l.see)
	return l.print()
}

func (l *leads) see(p *pulse.Pulse) {
	l.found = append(l.found, pulseLine{T: p.Rise + p.Width, Pulse: pulseOf(p, l.names[p.Output-1])})
}

// print prints what one edge bore out, in the order of the falling edges.
func (l *leads) print() error {
	if len(l.found) == 0 {
		return nil
	}
	slices.SortStableFunc(l.found, func(a, b pulseLine) int { return cmp.Compare(a.T, b.T) })
	for _, line := range l.found {
		if err := l.lines.Encode(line); err != nil {
			return err
		}
	}
	l.found = l.found[:0]
	return nil
}

func (l *leads) end(more string) (account, error) {
	out := &leadsAccount{more: more}
	for _, m := range l.meters {
		m.Flush(l.see)
		a := m.Account()
		out.Edges += a.Edges
		out.Pulses += a.Pulses
		for f, n := range a.Faults {
			out.Faults[f] += n
		}
	}
	return out, l.print()
}

// leadsAccount is what became of the edges of servo leads.
type leadsAccount struct {
	pulse.MeterAccount
	more string
}

func (a *leadsAccount) items() int64 { return a.Pulses }
func (a *leadsAccount) what() string { return "pulse" }

func (a *leadsAccount) sentence() string {
	var n int64
	for _, f := range a.Faults {
		n += f
	}
	s := fmt.Sprintf("%d edges, %d pulses, %d faults", a.Edges, a.Pulses, n)
	if why := refusals(a.Faults[:], func(f int) pulse.EdgeFault { return pulse.EdgeFault(f) }); why != "" {
		s += ": " + why
	}
	return s + a.more
}

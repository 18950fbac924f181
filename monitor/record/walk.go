package record

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// mostWalks is how many range walks a record keeps: the latest.
const mostWalks = 4

// Walk is one range walk. It is no maker's range check.
type Walk struct {
	BeganNS unit.Time             `json:"began_ns"`
	Told    map[string]string     `json:"told"`  // under what it was done, by the last part of the prompt's ID; what nobody said is left out
	Marks   []event.RangeMarkData `json:"marks"` // those that were left, in the order of time
}

// walk takes what belongs to a range walk: words, and marks that were left.
func (g *Collector) walk(e *event.Event) {
	switch d := e.Data.(type) {
	case event.DrillAnsweredData:
		if d.Words != "" {
			g.walking().Told[event.PromptPart(d.Prompt)] = d.Words
		}
	case event.RangeMarkData:
		if w := g.walking(); d.Left {
			w.Marks = append(w.Marks, d)
		}
	}
}

// walking is the walk of the drill under way.
func (g *Collector) walking() *Walk {
	began := unit.Time(0)
	if n := len(g.Drills); n > 0 {
		began = g.Drills[n-1].BeganNS
	}
	if n := len(g.Walks); n > 0 && g.Walks[n-1].BeganNS == began {
		return &g.Walks[n-1]
	}
	if len(g.Walks) == mostWalks {
		g.Walks = g.Walks[1:]
	}
	g.Walks = append(g.Walks, Walk{BeganNS: began, Told: map[string]string{}, Marks: []event.RangeMarkData{}})
	return &g.Walks[len(g.Walks)-1]
}

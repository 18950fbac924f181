package page

import (
	"slices"
	"strings"

	"benchproof.example/monitor/record"
)

// openGroup are the claims that one action settles.
type openGroup struct {
	Action string // what to do
	Drill  string // the drill that leads through it, "" for none
	Rows   []row
}

// open puts a claim that is open or stale, each once, under the action that settles it.
func (p *page) open(one row) {
	i := slices.IndexFunc(p.Open, func(g openGroup) bool { return g.settles(&one.Claim) })
	if i < 0 {
		p.Open = append(p.Open, openGroup{Action: one.Settle, Drill: one.Drill})
		i = len(p.Open) - 1
	}
	p.Open[i].Rows = append(p.Open[i].Rows, one)
}

func (g *openGroup) settles(c *record.Claim) bool {
	if g.Drill != "" {
		return g.Drill == c.Drill
	}
	return c.Drill == "" && g.Action == c.Settle
}

// Title is what to do, as a sentence begins.
func (g openGroup) Title() string {
	if g.Drill != "" {
		return "Drill " + g.Drill
	}
	return capital(g.Action)
}

// Brief is what to do without the reason.
func (g openGroup) Brief() string {
	brief, _, _ := strings.Cut(g.Title(), ": ")
	return brief
}

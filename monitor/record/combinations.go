package record

import (
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// stoodLeast is how long a combination of positions must have stood to count as
// seen: switches that were moved together are reported one after the other.
const stoodLeast = 300 * unit.Millisecond

// mostRows bounds the table of combinations.
const mostRows = 64

// combinationLog gathers which combinations of positions the bus showed.
type combinationLog struct {
	Taps map[string]*levers
	Seen map[string][]Setting // by combination, the widths it was last seen with

	channels []int    // that choose the mode, if all have positions
	names    []string // theirs
}

// levers are the switches as one tap has them.
type levers struct {
	At    map[string]Setting // by channel name; none where its width is no position's
	Since unit.Time
}

func newCombinationLog(s *sheet.Sheet) *combinationLog {
	a := &combinationLog{Taps: map[string]*levers{}, Seen: map[string][]Setting{}}
	for _, n := range s.ModeChannels() {
		c, _ := s.Channel(n)
		if c.Kind == sheet.Knob {
			a.channels, a.names = nil, nil
			return a // positions alone don't choose the mode
		}
		a.channels, a.names = append(a.channels, n), append(a.names, c.Name)
	}
	return a
}

func (a *combinationLog) see(e *event.Event) {
	switch d := e.Data.(type) {
	case event.SwitchData:
		name, _ := event.AboutSwitch.Name(e.About)
		a.moved(name, &d, e.From)
	default:
		if e.Kind == event.SessionEnded || e.Kind == event.FailsafeEntered || e.Kind == event.BusSilent {
			a.rest(e.From)
		}
	}
}

func (a *combinationLog) moved(name string, d *event.SwitchData, at unit.Time) {
	if !slices.Contains(a.names, name) {
		return
	}
	l := a.Taps[d.Tap]
	if l == nil {
		l = &levers{At: map[string]Setting{}}
		a.Taps[d.Tap] = l
	}
	a.note(l, at)
	l.Since = at
	delete(l.At, name)
	if d.Within && d.Signal == event.SignalLive && !d.Suspect {
		l.At[name] = Setting{name, d.To, d.WidthNS}
	}
}

// rest notes how the switches stood when something ends.
func (a *combinationLog) rest(at unit.Time) {
	for _, name := range slices.Sorted(maps.Keys(a.Taps)) {
		a.note(a.Taps[name], at)
	}
}

func (a *combinationLog) note(l *levers, until unit.Time) {
	if until.Sub(l.Since) < stoodLeast || len(l.At) < len(a.names) {
		return
	}
	places := make([]Setting, 0, len(a.names))
	for _, name := range a.names {
		places = append(places, l.At[name])
	}
	a.Seen[keyOf(places)] = places
}

// keyOf names a combination.
func keyOf(places []Setting) string {
	parts := make([]string, 0, len(places))
	for _, p := range places {
		parts = append(parts, p.Channel+" "+p.Position)
	}
	return strings.Join(parts, ", ")
}

// Combinations lists what each combination of positions is to ask for, by the sheet alone.
func Combinations(s *sheet.Sheet) []CombinationResult {
	if s.Stabiliser == nil {
		return nil
	}
	return newCombinationLog(s).table(s, nil)
}

// table lists every combination in the order of the sheet.
func (a *combinationLog) table(s *sheet.Sheet, claims []Claim) []CombinationResult {
	rows := []CombinationResult{}
	for _, at := range a.combinations(s) {
		row := CombinationResult{At: at}
		if seen, ok := a.Seen[keyOf(at)]; ok {
			row.At, row.Seen = seen, true
		}
		row.wanted(s, claims)
		row.judge(s)
		rows = append(rows, row)
	}
	return rows
}

func (a *combinationLog) combinations(s *sheet.Sheet) [][]Setting {
	if len(a.channels) == 0 {
		return nil
	}
	list := [][]Setting{nil}
	for _, n := range a.channels {
		c, _ := s.Channel(n)
		var longer [][]Setting
		for _, so := range list {
			for _, p := range c.Places {
				longer = append(longer, append(so[:len(so):len(so)], Setting{c.Name, p.Name, p.Width}))
			}
		}
		list = longer
	}
	return list[:min(len(list), mostRows)]
}

// wanted finds the mode that the sheet wants there and the claims on it; a claim
// knows a position that lies where no position should.
func (r *CombinationResult) wanted(s *sheet.Sheet, claims []Claim) {
	for i := range s.Stabiliser.Modes {
		mode := &s.Stabiliser.Modes[i]
		for _, at := range mode.WantedAt {
			name, ok := r.covers(at, s)
			if !ok {
				continue
			}
			r.Wanted, r.Claim, r.Margin = mode.Name, claim.FamilyMode.ID(mode.Name, name), claim.FamilyMargin.ID(mode.Name, name)
			for j := range claims {
				if claims[j].ID == r.Claim {
					r.widths(claims[j].Figures, at, s)
				}
			}
		}
	}
}

// covers reports that a wanted combination, which may name fewer switches, holds
// in this row, and its name in claims.
func (r *CombinationResult) covers(at sheet.Combination, s *sheet.Sheet) (string, bool) {
	var names []string
	for _, set := range at {
		c, _ := s.Channel(set.Channel)
		holds := false
		for _, p := range r.At {
			holds = holds || p.Channel == c.Name && p.Position == set.Position
		}
		if !holds {
			return "", false
		}
		names = append(names, set.Position)
	}
	return strings.Join(names, "/"), true
}

// widths takes those that a claim rests on: a claim knows the position of a width
// that lies where no position should. A switch that the claim does not name must
// have stood where this row has it.
func (r *CombinationResult) widths(figures map[string]int64, named sheet.Combination, s *sheet.Sheet) {
	at := slices.Clone(r.At)
	for i := range at {
		width, ok := figures[at[i].Channel+"_ns"]
		c, _ := s.ByName(at[i].Channel)
		isNamed := slices.ContainsFunc(named, func(set sheet.Setting) bool { return set.Channel == c.Number })
		if !ok || !isNamed && unit.Abs(unit.Width(width)-at[i].WidthNS) > s.Tolerance.Position {
			return
		}
		at[i].WidthNS = unit.Width(width)
	}
	r.At, r.Seen = at, true
}

// judge says what the widths ask for, and how far inside its window they lie.
func (r *CombinationResult) judge(s *sheet.Sheet) {
	width := func(channel int) unit.Width {
		c, _ := s.Channel(channel)
		for _, p := range r.At {
			if p.Channel == c.Name {
				return p.WidthNS
			}
		}
		return 0
	}
	r.Mode, _ = s.ModeAt(width)
	for i := range s.Stabiliser.Modes {
		for _, cell := range s.Stabiliser.Modes[i].When {
			if cell.Holds(width) {
				r.MarginNS = cell.Margin(width)
			}
		}
	}
}

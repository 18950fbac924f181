package card

import (
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

// Mode is what one combination of switch positions asks for.
type Mode struct {
	Positions string // aid third
	Asks      string // the mode
	Does      string // how surfaces answer a tilt that is held
	Wanted    bool   // the sheet wants it there
	Seen      string // a word, or a box
}

// does says what a hand on the model sees in a mode.
var does = map[string]string{
	sheet.DoesNothing: "no answer (off)",
	sheet.DoesReturn:  "a kick that goes back",
	sheet.DoesStay:    "an answer that stays",
}

// answering names the modes that answer a tilt.
func answering(s *sheet.Sheet) string {
	var names []string
	if s.Stabiliser != nil {
		for i := range s.Stabiliser.Modes {
			if m := &s.Stabiliser.Modes[i]; m.Does == sheet.DoesReturn || m.Does == sheet.DoesStay {
				names = append(names, text.ModeName(m.Name))
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "It answers in " + shorten(strings.Join(names, ", "), 2*mostName) + ". "
}

// windowsFrom says what the windows of the modes rest on.
var windowsFrom = map[string]string{
	"manual":   "The windows of the modes are the manual's.",
	"measured": "The windows of the modes were measured.",
	"guess":    "The windows of the modes are a guess: the switch may ask for another mode than stands here.",
}

// modes lists every combination: those that the sheet wants, then the others.
func (c *Card) modes(s *sheet.Sheet, r *record.Record, seen *seen) {
	if s.Stabiliser == nil {
		return
	}
	c.Windows = windowsFrom[s.Stabiliser.From]
	rows := record.Combinations(s)
	if r != nil {
		rows = r.Modes
	}
	for i := range rows {
		c.Modes = append(c.Modes, newMode(s, &rows[i], seen))
	}
	slices.SortStableFunc(c.Modes, func(a, b Mode) int { return rank(a) - rank(b) })
	c.Modes, c.ModesCut = atMost(c.Modes, mostModes)
}

func rank(m Mode) int {
	if m.Wanted {
		return 0
	}
	return 1
}

func newMode(s *sheet.Sheet, row *record.CombinationResult, seen *seen) Mode {
	m := Mode{Asks: shorten(text.ModeName(row.Mode), mostName), Wanted: row.Wanted != "", Does: "the sheet does not say"}
	var at []string
	for _, set := range row.At {
		at = append(at, name(set.Channel)+" "+name(set.Position))
	}
	m.Positions = strings.Join(at, ", ")
	for i := range s.Stabiliser.Modes {
		if x := &s.Stabiliser.Modes[i]; x.Name == row.Mode && does[x.Does] != "" {
			m.Does = does[x.Does] + seen.behind(claim.FamilyResponse.ID(x.Name))
		}
	}
	switch {
	case row.Mode == "":
		m.Does = "not known"
		m.Seen = ""
	case row.Claim != "":
		m.Seen = seen.of(row.Claim)
	}
	return m
}

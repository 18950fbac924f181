// Package card makes the field card of a model: one page with what its switches ask for, what
// its surfaces must do when it is tilted, and what a fault in the air is likely to come from.
// It is made of the sheet alone and, where a session is given, of what was seen in it.
package card

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// NotSafe stands on every card.
const NotSafe = "It says what was set up and what was seen on a bench. It is no clearance to fly, and no instruction."

// How much a card takes, so that it is one printed page whatever the sheet has.
const (
	mostName     = 18 // letters of a name or a surface
	mostModes    = 8
	mostTilts    = 8
	mostRest     = 6
	mostPapers   = 2
	mostRestText = 90
)

// Card is what stands on the page, in its order: words alone, nothing left to decide.
type Card struct {
	Model    string
	MadeOf   string // the sheet alone, or which session
	Seen     bool   // a session is behind it: else there are boxes to tick
	Windows  string // where the windows of the modes come from, a sentence; "" without modes
	Modes    []Mode
	ModesCut int    // how many combinations were left out
	Answers  string // in which modes a tilt is answered, a sentence and a blank; "" where the sheet does not say
	Tilts    []Tilt
	TiltsCut int
	Lost     []string // without a signal
	LostCut  int
	Controls []string // throttle cut, gain, righting: a sentence each
	Papers   []string // how and when the receiver was set up
	Symptoms []Symptom
	Cautions []string
}

// crowded is from how many rows of modes and tilts on the page has smaller letters.
const crowded = 10

// Crowded reports that the page has many rows.
func (c *Card) Crowded() bool { return len(c.Modes)+len(c.Tilts) >= crowded }

// Box is what stands where nothing was looked at yet: to be ticked with a pen.
const Box = "[ ]"

// New makes the card of a sheet. r is the record of a session under it, nil for none.
func New(s *sheet.Sheet, r *record.Record, papers []event.Paper) *Card {
	seen := newSeen(s, r)
	c := &Card{Model: shorten(s.Model, 2*mostName), MadeOf: "Made of the set-up sheet alone: nothing on it was seen yet.", Seen: r != nil}
	if r != nil {
		c.MadeOf = fmt.Sprintf("Made of the set-up sheet, and of what the session of %s UTC showed.", r.Begun.UTC().Format("2006-01-02 15:04"))
	}
	c.modes(s, r, seen)
	c.Answers, c.Tilts = answering(s), tilts(s, seen)
	c.Tilts, c.TiltsCut = atMost(c.Tilts, mostTilts)
	c.Lost, c.LostCut = atMost(lost(s, seen), mostRest)
	c.Controls = controls(s)
	c.Papers = papersOf(papers)
	c.Symptoms = symptoms(s, seen)
	c.Cautions = cautions(s)
	return c
}

func atMost[T any](list []T, most int) (first []T, left int) {
	n := min(len(list), most)
	return list[:n], len(list) - n
}

// shorten is a text of at most so many letters.
func shorten(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return strings.TrimRight(string([]rune(text)[:most-1]), " ,") + "…"
}

// name is a name of the sheet as it fits a column.
func name(text string) string { return shorten(text, mostName) }

// controls says what holds beside the modes, in the order in which hands come to it.
func controls(s *sheet.Sheet) (list []string) {
	for _, n := range s.ThrottleChannels() {
		c, _ := s.Channel(n)
		if cut, ok := c.Place("cut"); ok {
			list = append(list, fmt.Sprintf("%s: cut is %s, whatever the stick does.", name(c.Name), unit.FormatWidth(cut.Width)))
		}
	}
	if g := s.Gain; g != nil {
		list = append(list, gainSays(s, g))
	}
	if x := s.Righting(); x != nil {
		c, _ := s.Channel(x.Channel)
		list = append(list, fmt.Sprintf("Righting: %s %s overrides the mode while it is there.", name(c.Name), name(x.Position)))
	}
	if len(s.ThrottleChannels()) == 0 {
		list = append(list, "The sheet has no throttle.")
	}
	list, _ = atMost(list, mostRest)
	return list
}

func gainSays(s *sheet.Sheet, g *sheet.Gain) string {
	c, ok := s.Channel(g.Channel)
	if !ok {
		return "Gain: set in the receiver, on no channel."
	}
	at := func(w unit.Width) string {
		if p := s.PlaceName(c.Number, w); p != "" {
			return fmt.Sprintf("%s (%s)", name(p), unit.FormatWidth(w))
		}
		return unit.FormatWidth(w)
	}
	switch g.Law {
	case sheet.Folded:
		return fmt.Sprintf("Gain: %s, none at %s, full at both ends.", name(c.Name), at(g.Zero))
	case sheet.SignSelects:
		return fmt.Sprintf("Gain: %s, none at %s; its side chooses what the stabiliser does.", name(c.Name), at(g.Zero))
	}
	return fmt.Sprintf("Gain: %s, none at %s, full at %s.", name(c.Name), at(g.Zero), at(g.Full[0]))
}

// papersOf are the entries that surfaces hang on.
func papersOf(papers []event.Paper) (list []string) {
	for i := range papers {
		if p := &papers[i]; slices.Contains([]string{"mounting", "levelled", "learned", "bound"}, p.Entry) {
			list = append(list, shorten(p.Says(), mostRestText))
		}
	}
	list, _ = atMost(list, mostPapers)
	return list
}

// lost says what the sheet wants without a signal: motors first, then what is named, then the rest.
func lost(s *sheet.Sheet, seen *seen) (list []string) {
	if s.Failsafe == nil {
		return []string{"The sheet does not say what happens without a signal."}
	}
	named := append(s.ThrottleChannels(), s.ModeChannels()...)
	for _, p := range s.Failsafe.Heard.Named {
		named = append(named, p.Number)
	}
	var done []int
	for _, n := range named {
		c, ok := s.Channel(n)
		if p, wished := s.Preset(n); ok && wished && !slices.Contains(done, n) {
			done = append(done, n)
			list = append(list, fmt.Sprintf("%s: %s%s", name(c.Name), p.Says(), seen.behind(failsafeOf(c))))
		}
	}
	if mode, known := s.PresetMode(); known {
		list = append(list, "together these ask for "+text.ModeName(mode))
	}
	if d := s.Failsafe.Heard.Default; d.Rule != "" {
		list = append(list, "all others: "+d.Says())
	}
	return list
}

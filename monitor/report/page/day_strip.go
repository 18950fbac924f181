package page

import (
	"fmt"
	"slices"
	"time"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Where the strips are drawn, px.
const (
	stripWidth  = 700
	stripLeft   = 78
	rowWidth    = 600 // of cells
	cellHeight  = 12
	stripTop    = 14
	rowDistance = cellHeight + 2
	cellsInRow  = 24 // a day of hours; twice as many where that takes more than mostRows
	mostRows    = 7
)

// dayStrip is the strip of the days: a cell for each hour, or for two, four or more hours of a
// run of weeks.
type dayStrip struct {
	W, H   int
	Label  string
	Each   string // how long a cell is
	Cells  []dayCell
	Rows   []tick // when each begins
	Hours  []tick // above the cells
	Legend []legendEntry
}

// dayCell is one cell.
type dayCell struct {
	X, Y, W, H int
	Kind       cellKind
	Text       string // how many outages, in the cell
	Title      string // all of it in words
}

// cellKind is what a cell shows, by its shape; what is worse comes first.
type cellKind string

// The kinds, in words.
const (
	cellOutage    cellKind = "outage"
	cellSilence   cellKind = "silence or failsafe, no outage"
	cellUnwatched cellKind = "not watched, or no live link"
	cellPart      cellKind = "watched in part"
	cellMissed    cellKind = "frames missed"
	cellQuiet     cellKind = "nothing missed"
)

var cellKinds = []cellKind{cellQuiet, cellMissed, cellSilence, cellOutage, cellPart, cellUnwatched}

// ofLeads are the kinds in words where servo leads alone were listened to.
var ofLeads = map[cellKind]string{
	cellOutage: "silence of an output", cellSilence: "silence that began before, or is not over", cellUnwatched: "not watched, or not all outputs had pulses",
	cellPart: string(cellPart), cellQuiet: "no silence",
}

// legendEntry says what a shape means and how many cells have it.
type legendEntry struct {
	Cell  dayCell
	Words string
}

// kindOf is what a stretch of the run was like; expected is how long it was.
func kindOf(h *state.SoakHour, expected unit.Duration) cellKind {
	switch {
	case h.Outages > 0:
		return cellOutage
	case h.Silences+h.Failsafes > 0:
		return cellSilence
	case h.LiveNS < expected/20:
		return cellUnwatched
	case h.LiveNS < expected*19/20:
		return cellPart
	case h.Missed > 0:
		return cellMissed
	}
	return cellQuiet
}

// wordsOf is a stretch in words.
func wordsOf(t *state.TapAccount, h *state.SoakHour) string {
	if t.Leads != nil {
		return fmt.Sprintf("pulses on all outputs for %s; silences that ended: %d; outputs fell silent: %s", unit.FormatSpan(h.LiveNS),
			h.Outages, text.Times(h.Silences))
	}
	return fmt.Sprintf("live for %s; outages: %d; failsafes: %d; silences: %d; missed on the air: %s of %s frames", unit.FormatSpan(h.LiveNS),
		h.Outages, h.Failsafes, h.Silences, text.Count(h.Missed), text.Count(h.Frames))
}

func newDayStrip(a *state.Account, t *state.TapAccount, begun time.Time) *dayStrip {
	s := &dayStrip{W: stripWidth, Each: unit.FormatSpan(t.StripNS)}
	counts := map[cellKind]int{}
	length := a.UntilNS.Sub(a.SinceNS)
	pieces := int((length + t.StripNS - 1) / t.StripNS)
	inRow := cellsInRow
	if pieces > mostRows*cellsInRow {
		inRow *= 2
	}
	width := rowWidth / inRow
	for i := range pieces {
		from := unit.Duration(i) * t.StripNS
		h := state.SoakHour{}
		if i < len(t.Strip) {
			h = t.Strip[i]
		}
		c := dayCell{
			X: stripLeft + i%inRow*width, Y: stripTop + i/inRow*rowDistance, W: width - 2, H: cellHeight,
			Kind:  kindOf(&h, min(t.StripNS, length-from)),
			Title: soakDate(begun, a.SinceNS.Add(from)) + ": " + wordsOf(t, &h),
		}
		if c.Kind == cellOutage {
			c.Text = fmt.Sprint(h.Outages)
		}
		counts[c.Kind]++
		s.Cells = append(s.Cells, c)
		if i%inRow == 0 {
			s.Rows = append(s.Rows, tick{X: "0", Y: c.Y + 9, Text: shortDate(begun, a.SinceNS.Add(from))})
		}
	}
	rows := (pieces + inRow - 1) / inRow
	s.H = stripTop + rows*rowDistance
	for i := 0; i < min(inRow, pieces); i += inRow / 4 {
		s.Hours = append(s.Hours, tick{X: fmt.Sprint(stripLeft + i*width), Y: 9, Text: fmt.Sprintf("+%d h", unit.Duration(i)*t.StripNS/(60*unit.Minute))})
	}
	s.Label = fmt.Sprintf("Strip of the days of %s, a cell for each %s", t.Name, s.Each)
	s.Legend = legend(t, func(k cellKind) (string, bool) { return fmt.Sprintf(": %d", counts[k]), counts[k] > 0 })
	return s
}

// legend says what the kinds mean that are shown, each with what else there is to say of it.
func legend(t *state.TapAccount, of func(cellKind) (more string, shown bool)) (list []legendEntry) {
	for _, k := range cellKinds {
		more, shown := of(k)
		if !shown {
			continue
		}
		words := string(k)
		if t.Leads != nil {
			words = ofLeads[k]
		}
		list = append(list, legendEntry{dayCell{X: 1, Y: 1, W: 22, H: 12, Kind: k}, words + more})
	}
	return list
}

// has reports whether the strip shows a kind.
func (s *dayStrip) has(k cellKind) bool {
	return slices.ContainsFunc(s.Cells, func(c dayCell) bool { return c.Kind == k })
}

func shortDate(begun time.Time, t unit.Time) string {
	return begun.Add(time.Duration(t)).UTC().Format("2 Jan 15:04")
}

// Fill is what the cell is filled with.
func (c dayCell) Fill() string {
	switch c.Kind {
	case cellOutage:
		return "#16191c"
	case cellMissed:
		return "url(#dots)"
	case cellUnwatched:
		return "url(#cross)"
	case cellPart:
		return "url(#hatch)"
	case cellSilence, cellQuiet:
	}
	return "none"
}

// Faint reports that the cell's border is a dashed line.
func (c dayCell) Faint() bool { return c.Kind == cellUnwatched || c.Kind == cellPart }

// Mark is what is drawn in the cell, a path: a diamond for a silence.
func (c dayCell) Mark() string {
	if c.Kind != cellSilence {
		return ""
	}
	x, y := c.MidX(), c.Y+c.H/2
	w, h := min(5, c.W/2-1), c.H/2-2
	return fmt.Sprintf("M%d %dl%d %dl-%d %dl-%d -%dZ", x, y-h, w, h, w, h, w, h)
}

// MidX is its middle, Base where its text stands.
func (c dayCell) MidX() int { return c.X + c.W/2 }

// Base is where its text stands.
func (c dayCell) Base() int { return c.Y + c.H - 3 }

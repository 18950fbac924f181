package sheet

import (
	"cmp"
	"fmt"

	"benchproof.example/monitor/unit"
)

// cellFit says how a combination of positions lies to a cell.
type cellFit uint8

const (
	outside cellFit = iota // a position lies outside its window
	open                   // nothing outside, but the cell names a channel that the combination leaves out
	inside
)

// lies reports the fit, and for an open one the first channel left out.
func (c Cell) lies(combination Combination) (cellFit, int) {
	left := 0
	for _, window := range c {
		width, named := combination.at(window.Channel)
		switch {
		case !named && left == 0:
			left = window.Channel
		case named && (width < window.Lo || width >= window.Hi):
			return outside, 0
		}
	}
	if left != 0 {
		return open, left
	}
	return inside, 0
}

func (c Combination) at(channel int) (width unit.Width, named bool) {
	for _, s := range c {
		if s.Channel == channel {
			return s.Width, true
		}
	}
	return 0, false
}

// overlaps reports whether some widths lie in both cells. A channel that a
// cell does not name may have any width in it.
func (c Cell) overlaps(other Cell) bool {
	for _, a := range c {
		for _, b := range other {
			if a.Channel == b.Channel && (a.Lo >= b.Hi || b.Lo >= a.Hi) {
				return false
			}
		}
	}
	return true
}

// placed is a cell with where it stands.
type placed struct {
	cell Cell
	mode string
	at   *node
}

// checkCells compares the cells and wanted positions of a stabiliser that
// could be read without a mistake: its nodes then match what was read.
func (r *reader) checkCells(stabiliser *node) {
	modes := stabiliser.find("modes")
	var cells []placed
	for i, mode := range r.sheet.Stabiliser.Modes {
		when := modes.entries[i].value.find("when")
		for j, cell := range mode.When {
			cells = append(cells, placed{cell, mode.Name, when.items[j]})
		}
	}
	r.checkOverlaps(cells)
	for i, mode := range r.sheet.Stabiliser.Modes {
		wanted := modes.entries[i].value.find("wanted_at")
		for j, combination := range mode.WantedAt {
			r.checkWanted(combination, mode.Name, cells, wanted.items[j])
		}
	}
}

// checkOverlaps reports a cell once, against the first that it overlaps.
func (r *reader) checkOverlaps(cells []placed) {
	for i, later := range cells {
		for _, earlier := range cells[:i] {
			if later.cell.overlaps(earlier.cell) {
				r.refuse(later.at, fmt.Sprintf("a cell of %s that overlaps the cell of %s in line %d", later.mode, earlier.mode, earlier.at.line),
					"cells that have no widths in common")
				break
			}
		}
	}
}

func (r *reader) checkWanted(combination Combination, mode string, cells []placed, at *node) {
	missing, elsewhere, depends := 0, "", ""
	for _, p := range cells {
		lies, left := p.cell.lies(combination)
		switch {
		case lies == inside && p.mode == mode:
			return
		case lies == inside:
			elsewhere = "in the cell of " + p.mode
		case lies == open && p.mode == mode && missing == 0:
			missing = left
		case lies == open:
			c, _ := r.sheet.Channel(left)
			depends = fmt.Sprintf("in the cell of %s or elsewhere, as %s stands", p.mode, c.Name)
		}
	}
	if missing != 0 && elsewhere == "" {
		c, _ := r.sheet.Channel(missing)
		r.refuse(at, fmt.Sprintf("%s without a position of %s, which the cell of %s needs", r.words(combination), c.Name, mode),
			c.Name+" with one of its positions")
		return
	}
	where := cmp.Or(elsewhere, depends, "in no cell: no mode")
	r.refuse(at, fmt.Sprintf("%s, wanted for %s, which lies %s", r.words(combination), mode, where), "a position inside a cell of "+mode)
}

// find is the value of a key, nil where there is none.
func (n *node) find(key string) *node {
	for _, e := range n.entries {
		if e.key.text == key {
			return e.value
		}
	}
	return nil
}

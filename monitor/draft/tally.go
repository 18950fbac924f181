package draft

import "benchproof.example/monitor/unit"

// tally is a stand while it lasts: it counts how often each of its few widths came.
type tally struct {
	Stand
	about unit.Width // its first width
	each  []often
}

type often struct {
	width unit.Width
	times int
}

// mostWidths bounds what a tally counts. A control that flickers has three widths.
const mostWidths = 8

func tallied(at unit.Time, width unit.Width) tally {
	return tally{Stand: Stand{Width: width, From: at, To: at}, about: width}
}

func (y *tally) add(at unit.Time, width unit.Width) {
	y.To = at
	most := 0
	found := false
	for i := range y.each {
		if y.each[i].width == width {
			y.each[i].times++
			found = true
		}
		if y.each[i].times > y.each[most].times {
			most = i
		}
	}
	if !found && len(y.each) < mostWidths {
		y.each = append(y.each, often{width, 1})
	}
	y.Width = y.each[most].width
}

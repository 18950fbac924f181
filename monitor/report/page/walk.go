package page

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/unit"
)

// walkTable is a range walk for print.
type walkTable struct {
	Told string // under what it was done
	Rows [][6]string
	Note string
}

// needed is how long to stand until a doubling shows, a dash where too little is missed to say.
func needed(d unit.Duration) string {
	if d == 0 {
		return "–"
	}
	return unit.FormatDuration(d)
}

func newWalkTable(w *record.Walk) walkTable {
	t := walkTable{Note: drill.NoRangeCheck}
	var told []string
	for _, name := range []string{"power", "heights", "antennas", "who"} {
		words := w.Told[name]
		if words == "" {
			words = "not said"
		}
		told = append(told, name+": "+words)
	}
	t.Told = strings.Join(told, "; ")
	for i := range w.Marks {
		m := &w.Marks[i]
		remark := ""
		switch {
		case m.Way:
			remark = "the way to the next mark is in it"
		case m.NoneNS > 0:
			remark = "no frames for " + unit.FormatDuration(m.NoneNS)
		}
		t.Rows = append(t.Rows, [6]string{
			m.Mark, event.SharePercent(m.MissedPPM()), fmt.Sprint(m.Longest), unit.FormatDuration(m.ForNS), needed(m.NeedNS), remark,
		})
	}
	return t
}

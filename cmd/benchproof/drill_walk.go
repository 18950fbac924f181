package main

import (
	"fmt"
	"io"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// rangeTable is the marks of a range walk that were left, in the order in which they were.
type rangeTable []event.RangeMarkData

// stood shows the figures of a mark.
func (e *drillDialogue) stood(d event.RangeMarkData) {
	if d.Left {
		e.walked = append(e.walked, d)
	}
	e.below()
	sayBehind(e.out, "    ", event.Sentence(&event.Event{Kind: event.RangeMark, About: event.AboutDrill.Called(e.name), Data: d}))
	if d.Left && !d.Way {
		const id = drill.Range + "/" + event.PromptWalk
		fmt.Fprint(e.talk, "\n  Walk on. The next distance and Enter, or Enter alone to end the walk: ")
		e.asking, e.open = id, true
	}
}

// write prints the table, with what stands beside it wherever it is shown.
func (t rangeTable) write(out io.Writer) {
	if len(t) == 0 {
		return
	}
	fmt.Fprintf(out, "\n%-16s %9s %9s %8s %9s %9s\n", "mark", "missed", "longest", "frames", "stood", "needed")
	for i := range t {
		d := &t[i]
		fmt.Fprintf(out, "%-16s %9s %9d %8d %9s %9s\n", d.Mark, event.SharePercent(d.MissedPPM()), d.Longest, d.Frames,
			wholeSeconds(d.ForNS), wholeSeconds(d.NeedNS))
	}
	fmt.Fprintln(out)
	say(out, "missed: share of the frames that the receiver flags; longest: most of them in a row; needed: how long to stand, in both "+
		"walks, until twice as much shows in four of five cases (–: too little is missed to say, or in runs too long). A receiver that holds its values "+
		"without a flag shows nothing here. "+drill.NoRangeCheck+" Beside an earlier walk: benchproof compare.")
}

// wholeSeconds is a length of time in a table; a dash for none.
func wholeSeconds(d unit.Duration) string {
	if d == 0 {
		return "–"
	}
	return fmt.Sprintf("%d s", (d+unit.Second/2)/unit.Second)
}

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/view"
)

// drillResult is what stands once a drill is over: the claims of a sheet with their
// latest verdicts.
type drillResult struct {
	name    string // of the drill
	sheet   *sheet.Sheet
	claims  []*claim.Claim
	session string       // what follows a command that is named, so that it reaches the same session
	folder  string       // of the session
	lines   []sheet.Line // of the sheet, none where they can't be read

	finished bool     // every prompt was answered
	changed  []string // about which claims a verdict changed while it ran
}

// resultOf reads what a session says of its claims by now. A journal that is not
// there yet has none.
func resultOf(name string, s *sheet.Sheet, folder session.Folder) (*drillResult, error) {
	book := claim.New(s)
	r, index := &drillResult{name: name, sheet: s, claims: book.Claims(), folder: string(folder)}, book.Index()
	if text, err := folder.SheetText(); err == nil {
		r.lines = s.Lines(text)
	}
	journal, err := openTimeline(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return r, nil
	case err != nil:
		return nil, err
	}
	defer func() { _ = journal.Close() }()
	_, err = timeline.Scan(journal, func(_ int64, e *timeline.Entry, damage error) error {
		if damage != nil || e.Kind != event.VerdictChanged {
			return nil
		}
		if c := index.About(e.About); c != nil {
			d := read[event.VerdictData](e)
			c.Verdict, c.Sentence = claim.Verdict(d.Verdict), d.Sentence
		}
		return nil
	})
	return r, err
}

// lack has open claims say what they lack, which no event says: the session does.
func (r *drillResult) lack(now []client.Claim) {
	for _, c := range r.claims {
		i := slices.IndexFunc(now, func(n client.Claim) bool { return n.ID == c.ID })
		if i >= 0 && c.Verdict == claim.VerdictOpen && now[i].Verdict == string(claim.VerdictOpen) {
			c.Sentence = now[i].Sentence
		}
	}
}

// write reports what is right now, what stays wrong and how it is seen anew, what the
// drill left open, and which drill is next.
func (r *drillResult) write(out io.Writer) {
	result := course.ResultOf(r.name, drill.Plans(r.sheet), r.claims, r.changed, r.finished)
	if now := result.RightNow(); now != "" {
		fmt.Fprintf(out, "\n%s\n", now)
	}
	wrong, open, more := result.Told()
	for _, c := range wrong {
		r.wrong(out, c)
	}
	for _, c := range open {
		fmt.Fprintf(out, "%s\n", paragraphOn(out, "  ", course.Says(c)))
	}
	r.more(out, more)
	if heading, others := result.Others(); heading != "" {
		fmt.Fprintln(out, heading)
		for _, c := range others {
			fmt.Fprintf(out, "%s\n", paragraphOn(out, "  ", r.line(c)+c.Sentence+"."))
		}
	}
	r.goOn(out, result)
}

// more counts what is not said in full, and names the command that lists it.
func (r *drillResult) more(out io.Writer, more course.More) {
	var parts []string
	for _, p := range []struct {
		n    int
		what string
	}{{more.Wrong, "wrong"}, {more.Open, "open"}, {more.Stale, "stale"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d more %s", p.n, p.what))
		}
	}
	if len(parts) > 0 {
		fmt.Fprintf(out, "%s\n", paragraphOn(out, "  ", fmt.Sprintf("And %s; benchproof report %s lists them.", text.And(parts), r.folder)))
	}
}

// line names the line of the sheet that states a claim, "" where that is not known.
func (r *drillResult) line(c *claim.Claim) string {
	if n := sheet.LineOf(r.lines, c.Stated...); n > 0 {
		return fmt.Sprintf("line %d of the sheet: ", n)
	}
	return ""
}

// goOn says what is to be done now, and which drill is next.
func (r *drillResult) goOn(out io.Writer, result *course.Result) {
	if plan, ok := drill.Find(drill.Plans(r.sheet), r.name); ok && plan.Then != "" {
		fmt.Fprintln(out, plan.Then)
	}
	if result.Unfinished() {
		fmt.Fprintf(out, "Next: benchproof drill %s%s once more, from its first prompt\n", r.name, r.session)
		return
	}
	again := ""
	if len(result.Wrong) > 0 {
		again = fmt.Sprintf("after the change benchproof drill %s%s once more, then ", r.name, r.session)
	}
	switch {
	case result.Next != "":
		fmt.Fprintf(out, "Next: %sbenchproof drill %s%s\n", again, result.Next, r.session)
	case again != "":
		fmt.Fprintf(out, "Next: %sno other: no drill is left with an open claim\n", again)
	default:
		fmt.Fprintln(out, "Next: no drill is left with an open claim.")
	}
}

func (r *drillResult) wrong(out io.Writer, c *claim.Claim) {
	wrong := paragraphOn(out, "  ", course.Says(c))
	_ = printPainted(out, paintOf(out).In(view.Wrong, wrong)+"\n")
	if c.Reopens != "" {
		fmt.Fprintf(out, "  After the change: benchproof reopen %s%s\n", c.Reopens, r.session)
	}
}

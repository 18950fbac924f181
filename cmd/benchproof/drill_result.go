package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/view"
)

// What is said of a drill that changed no verdict.
const (
	changedNothing      = "It changed no verdict. %s"
	perhapsNobodyTilted = "It changed no verdict: what was open stays open. Where no output moved, nobody tilted the " +
		"model or the stabiliser is dead: do it again, and let a helper press Enter while it is tilted. %s"
	reportSaysLack = "What an open claim lacks, the report of the session says."
)

// mostTold is how many claims are said in full at the end of a drill, so that it fits a
// screen: wrong ones first. The rest is counted.
const mostTold = 5

// drillResult is what stands once a drill is over: the claims of a sheet with their
// latest verdicts.
type drillResult struct {
	name    string // of the drill
	sheet   *sheet.Sheet
	claims  []*claim.Claim
	session string // what follows a command that is named, so that it reaches the same session
	folder  string // of the session

	finished bool     // every prompt was answered
	changed  []string // about which claims a verdict changed while it ran
}

// resultOf reads what a session says of its claims by now. A journal that is not
// there yet has none.
func resultOf(name string, s *sheet.Sheet, folder session.Folder) (*drillResult, error) {
	book := claim.New(s)
	r, index := &drillResult{name: name, sheet: s, claims: book.Claims(), folder: string(folder)}, book.Index()
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

// write reports what is right now, what stays wrong and how it is seen anew, what the
// drill left open, and which drill is next.
func (r *drillResult) write(out io.Writer) {
	right, wrong, open := r.own()
	if all := len(right) + len(wrong) + len(open); all > 0 {
		through := ""
		if n := r.through(right); n > 0 {
			through = fmt.Sprintf(", %d of them through it", n)
		}
		fmt.Fprintf(out, "\nRight now: %d of the %d claims that this drill is for%s.\n", len(right), all, through)
	}
	toldWrong := wrong[:min(mostTold, len(wrong))]
	for _, c := range toldWrong {
		r.wrong(out, c)
	}
	told := min(mostTold-len(toldWrong), len(open))
	for _, c := range open[:told] {
		is := "Still open"
		if c.Verdict == claim.VerdictStale {
			is = "Stale, to be seen anew"
		}
		fmt.Fprintf(out, "%s\n", paragraphOn(out, "  ", fmt.Sprintf("%s: %s.", is, c.Sentence)))
	}
	r.more(out, wrong[len(toldWrong):], open[told:])
	if others := r.elsewhere(); others > 0 {
		fmt.Fprintf(out, "Wrong too, of other drills or none: %d; the report of the session has them.\n", others)
	}
	r.goOn(out, wrong, open)
}

// through counts the claims that changed while the drill ran.
func (r *drillResult) through(claims []*claim.Claim) (n int) {
	for _, c := range claims {
		if r.touched(c) {
			n++
		}
	}
	return n
}

func (r *drillResult) touched(c *claim.Claim) bool {
	return slices.Contains(r.changed, event.AboutClaim.Called(c.ID))
}

// more counts what is not said in full, and names the command that lists it.
func (r *drillResult) more(out io.Writer, wrong, open []*claim.Claim) {
	stale := 0
	for _, c := range open {
		if c.Verdict == claim.VerdictStale {
			stale++
		}
	}
	var parts []string
	for _, p := range []struct {
		n    int
		what string
	}{{len(wrong), "wrong"}, {len(open) - stale, "open"}, {stale, "stale"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d more %s", p.n, p.what))
		}
	}
	if len(parts) > 0 {
		fmt.Fprintf(out, "%s\n", paragraphOn(out, "  ", fmt.Sprintf("And %s; benchproof report %s lists them.", text.And(parts), r.folder)))
	}
}

// own are the claims that this drill is for: which are right, which are wrong, and which are
// open, those first that it said something of.
func (r *drillResult) own() (right, wrong, open []*claim.Claim) {
	for _, c := range r.claims {
		switch {
		case c.Settle.Drill != r.name:
		case c.Verdict == claim.VerdictRight:
			right = append(right, c)
		case c.Verdict == claim.VerdictWrong:
			wrong = append(wrong, c)
		default:
			open = append(open, c)
		}
	}
	slices.SortStableFunc(open, func(a, b *claim.Claim) int {
		switch {
		case r.touched(a) == r.touched(b):
			return 0
		case r.touched(a):
			return -1
		}
		return 1
	})
	return right, wrong, open
}

// goOn says which drill is next.
func (r *drillResult) goOn(out io.Writer, wrong, open []*claim.Claim) {
	if !r.finished && len(wrong)+len(open) > 0 {
		fmt.Fprintf(out, "Next: benchproof drill %s%s once more, from its first prompt\n", r.name, r.session)
		return
	}
	again := ""
	if len(wrong) > 0 {
		again = fmt.Sprintf("after the change benchproof drill %s%s once more, then ", r.name, r.session)
	}
	switch next := r.next(); {
	case next != "":
		fmt.Fprintf(out, "Next: %sbenchproof drill %s%s\n", again, next, r.session)
	case again != "":
		fmt.Fprintf(out, "Next: %sno other: no drill is left with an open claim\n", again)
	default:
		fmt.Fprintln(out, "Next: no drill is left with an open claim.")
	}
}

func (r *drillResult) wrong(out io.Writer, c *claim.Claim) {
	wrong := paragraphOn(out, "  ", fmt.Sprintf("Stays wrong: %s.", c.Sentence))
	_ = printPainted(out, paintOf(out).In(view.Wrong, wrong)+"\n")
	if c.Reopens != "" {
		fmt.Fprintf(out, "  After the change: benchproof reopen %s%s\n", c.Reopens, r.session)
	}
}

// elsewhere counts what is wrong and no claim of this drill.
func (r *drillResult) elsewhere() (n int) {
	for _, c := range r.claims {
		if c.Settle.Drill != r.name && c.Verdict == claim.VerdictWrong {
			n++
		}
	}
	return n
}

// next is the drill behind this one, around the list, that has a claim which was not
// seen yet; "" for none.
func (r *drillResult) next() string {
	plans := drill.Plans(r.sheet)
	here := slices.IndexFunc(plans, func(p drill.Plan) bool { return p.Name == r.name })
	for i := 1; i < len(plans); i++ {
		name := plans[(here+i+len(plans))%len(plans)].Name
		if name != r.name && slices.ContainsFunc(r.claims, func(c *claim.Claim) bool {
			return c.Settle.Drill == name && c.Verdict != claim.VerdictRight && c.Verdict != claim.VerdictWrong
		}) {
			return name
		}
	}
	return ""
}

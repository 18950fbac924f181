package course

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
)

// MostTold is how many claims are said in full at the end of a drill, so that it fits a
// screen: wrong ones first. The rest is counted.
const MostTold = 5

// What is said of a drill that changed no verdict.
const (
	changedNothing      = "It changed no verdict. %s"
	perhapsNobodyTilted = "It changed no verdict: what was open stays open. Where no output moved, nobody tilted the " +
		"model or the stabiliser is dead: do it again, and let a helper press Enter while it is tilted. %s"
	reportSaysLack = "What an open claim lacks, the report of the session says."
)

// Result is what stands once a drill is over, by the claims as they are judged now.
type Result struct {
	Right, Wrong, Open []*claim.Claim // of those that the drill is for; open ones first that it said something of
	Through            int            // of those that are right, how many changed while it ran
	Elsewhere          []*claim.Claim // those that are wrong and that it is not for
	Next               string         // the drill behind this one that has something to see, "" for none
	finished           bool
}

// ResultOf sums a drill up. changed are the claims whose verdicts changed while it ran, as
// events are about them; finished: every prompt was answered.
func ResultOf(name string, plans []drill.Plan, claims []*claim.Claim, changed []string, finished bool) *Result {
	touched := func(c *claim.Claim) bool { return slices.Contains(changed, event.AboutClaim.Called(c.ID)) }
	r := &Result{Next: next(name, plans, claims), finished: finished}
	for _, c := range claims {
		switch mine := c.Settle.Drill == name; {
		case !mine && c.Verdict == claim.VerdictWrong:
			r.Elsewhere = append(r.Elsewhere, c)
		case !mine:
		case c.Verdict == claim.VerdictRight:
			r.Right = append(r.Right, c)
			if touched(c) {
				r.Through++
			}
		case c.Verdict == claim.VerdictWrong:
			r.Wrong = append(r.Wrong, c)
		default:
			r.Open = append(r.Open, c)
		}
	}
	slices.SortStableFunc(r.Open, func(a, b *claim.Claim) int {
		switch {
		case touched(a) == touched(b):
			return 0
		case touched(a):
			return -1
		}
		return 1
	})
	return r
}

// next is the drill behind this one, around the list, that has a claim which was not
// seen yet; "" for none.
func next(name string, plans []drill.Plan, claims []*claim.Claim) string {
	here := slices.IndexFunc(plans, func(p drill.Plan) bool { return p.Name == name })
	for i := 1; i < len(plans); i++ {
		other := plans[(here+i+len(plans))%len(plans)].Name
		if other != name && slices.ContainsFunc(claims, func(c *claim.Claim) bool {
			return c.Settle.Drill == other && c.Verdict != claim.VerdictRight && c.Verdict != claim.VerdictWrong
		}) {
			return other
		}
	}
	return ""
}

// RightNow is how many of its claims are right, a sentence; "" where it is for none.
func (r *Result) RightNow() string {
	all := len(r.Right) + len(r.Wrong) + len(r.Open)
	switch {
	case all == 0:
		return ""
	case r.Through > 0:
		return fmt.Sprintf("Seen right by now: %d of the %d claims that this drill is for, %d of them through it.", len(r.Right), all, r.Through)
	}
	return fmt.Sprintf("Seen right by now: %d of the %d claims that this drill is for.", len(r.Right), all)
}

// Told are those that are said in full, wrong ones first, and how many are only counted.
func (r *Result) Told() (wrong, open []*claim.Claim, more More) {
	wrong = r.Wrong[:min(MostTold, len(r.Wrong))]
	open = r.Open[:min(MostTold-len(wrong), len(r.Open))]
	more.Wrong = len(r.Wrong) - len(wrong)
	for _, c := range r.Open[len(open):] {
		if c.Verdict == claim.VerdictStale {
			more.Stale++
		} else {
			more.Open++
		}
	}
	return wrong, open, more
}

// More counts claims that are not said in full.
type More struct {
	Wrong int `json:"wrong"`
	Open  int `json:"open"`
	Stale int `json:"stale"`
}

// Says is what is said of a claim that is not right.
func Says(c *claim.Claim) string {
	is := map[claim.Verdict]string{claim.VerdictWrong: "Stays wrong", claim.VerdictStale: "Stale, to be seen anew"}[c.Verdict]
	if is == "" {
		is = "Still open"
	}
	return fmt.Sprintf("%s: %s.", is, c.Sentence)
}

// What stands above the claims that are wrong and that a drill is not for.
const (
	wrongToo     = "Wrong too, of other drills or none:"
	wrongTooMore = "Wrong too, of other drills or none, the first %d of %d; the report of the session has them all:"
)

// Others are the claims that are wrong and that the drill is not for, as many as are said, with
// what stands above them; "" for none.
func (r *Result) Others() (heading string, named []*claim.Claim) {
	switch n := len(r.Elsewhere); {
	case n == 0:
		return "", nil
	case n <= MostTold:
		return wrongToo, r.Elsewhere
	default:
		return fmt.Sprintf(wrongTooMore, MostTold, n), r.Elsewhere[:MostTold]
	}
}

// Unfinished reports that it is to be done once more, from its first prompt, since it was
// broken off and something is left to see.
func (r *Result) Unfinished() bool { return !r.finished && len(r.Wrong)+len(r.Open) > 0 }

// Undecided says what it may mean that a drill changed no verdict; "" where it did, or where
// it is for none.
func Undecided(p *drill.Plan, changed []string) string {
	switch {
	case len(changed) > 0 || p != nil && p.Name == drill.Range:
		return ""
	case p != nil && p.Leads:
		return fmt.Sprintf(perhapsNobodyTilted, reportSaysLack)
	}
	return fmt.Sprintf(changedNothing, reportSaysLack)
}

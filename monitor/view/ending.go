package view

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
)

// What the end of a sitting says on a terminal.
const (
	noneSeen        = "None of the sheet's %d claims was seen."
	andWrong        = "and %d more SEEN WRONG"
	mendAndReopen   = "Mend that, then have it seen anew with: benchproof reopen %s"
	settlesMost     = "What settles most, with how many claims; a drill runs while it listens:"
	settlesRest     = "and %s, for %s"
	countsOfClaims  = "%d seen right, %d seen wrong, %d open%s, %d stale."
	howOpen         = " (%d not looked at, %d looked at but not settled)"
	onlyEverWrong   = " Of those open, %d can only ever be seen wrong; they ask for nothing."
	listWithAll     = " The long list comes with --all."
	everyClaimRight = "Every claim of the sheet that can be seen right was. That is evidence about the set-up, not a clearance to fly."
)

const (
	mostActions = 5
	mostReopens = 4
	fewestWrong = 6 // lines that are there for what was seen wrong, whatever else there is
)

// Ending is what is said about the claims of a sheet at the end of a sitting: what was
// seen wrong, the five actions that settle most of what is open, the counts.
type Ending struct {
	Columns int // to wrap at; 0: lines are as long as they are
	Rows    int // that there are; what was seen wrong and has no room is counted. 0: no limit, and all actions
	Paint   Paint
	Listed  bool // the long list was shown
}

// Lines are the lines of an ending, without line feeds.
func (v *Ending) Lines(claims []*claim.Claim) []string {
	after := append(v.actionLines(claims), v.countLines(claims)...)
	return append(v.wrongLines(claims, len(after)), after...)
}

// wrongLines are the claims that were seen wrong, as many as have room beside the lines
// that come after them, and the commands that have them seen anew.
func (v *Ending) wrongLines(claims []*claim.Claim, after int) (lines []string) {
	wrong := slices.DeleteFunc(slices.Clone(claims), func(c *claim.Claim) bool { return c.Verdict != claim.VerdictWrong })
	if len(wrong) == 0 {
		if NoneSeen(claims) {
			return wrapped("", fmt.Sprintf(noneSeen, len(claims)), v.Columns)
		}
		return nil
	}
	mend := wrapped("", fmt.Sprintf(mendAndReopen, reopening(wrong)), v.Columns)
	room := max(fewestWrong, v.Rows-after) - len(mend)
	for i, c := range wrong {
		next := wrapped(verdictColumn(c.Verdict), c.Sentence, v.Columns)
		left, more := room-len(lines), len(wrong)-i
		if v.Rows > 0 && i > 0 && (len(next) > left || more > 1 && len(next) == left) {
			lines = append(lines, v.Paint.In(Wrong, strings.Repeat(" ", verdictWidth)+fmt.Sprintf(andWrong, more)))
			break
		}
		for _, line := range next {
			lines = append(lines, v.Paint.In(Wrong, line))
		}
	}
	return append(lines, mend...)
}

// NoneSeen reports that every claim is open.
func NoneSeen(claims []*claim.Claim) bool {
	return !slices.ContainsFunc(claims, func(c *claim.Claim) bool { return c.Verdict != claim.VerdictOpen })
}

// reopening are the names after which claims are seen anew.
func reopening(claims []*claim.Claim) string {
	var names []string
	for _, c := range claims {
		if !slices.Contains(names, c.Reopens) {
			names = append(names, c.Reopens)
		}
	}
	if more := len(names) - mostReopens; more > 0 {
		return strings.Join(names[:mostReopens], ", or ") + fmt.Sprintf(", or %d others", more)
	}
	return strings.Join(names, ", or ")
}

func (v *Ending) actionLines(claims []*claim.Claim) []string {
	list := actions(claims)
	if len(list) == 0 {
		return nil
	}
	shown := len(list)
	if v.Rows > 0 {
		shown = min(mostActions, shown)
	}
	lines := wrapped("", settlesMost, v.Columns)
	for _, a := range list[:shown] {
		lines = append(lines, wrapped(fmt.Sprintf("%5d  ", a.claims), a.do, v.Columns)...)
	}
	if others := list[shown:]; len(others) > 0 {
		n := 0
		for _, a := range others {
			n += a.claims
		}
		lines = append(lines, wrapped("       ", fmt.Sprintf(settlesRest, counted(len(others), "other thing"), counted(n, "claim")), v.Columns)...)
	}
	return lines
}

func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

func (v *Ending) countLines(claims []*claim.Claim) []string {
	count := map[claim.Verdict]int{}
	never, unsettled := 0, 0
	for _, c := range claims {
		count[c.Verdict]++
		if c.OnlyWrong && c.Verdict != claim.VerdictRight && c.Verdict != claim.VerdictWrong {
			never++
		}
		if c.LookedAt && c.Verdict == claim.VerdictOpen {
			unsettled++
		}
	}
	open, how := count[claim.VerdictOpen], ""
	if open > 0 {
		how = fmt.Sprintf(howOpen, open-unsettled, unsettled)
	}
	s := fmt.Sprintf(countsOfClaims, count[claim.VerdictRight], count[claim.VerdictWrong], open, how, count[claim.VerdictStale])
	if never > 0 {
		s += fmt.Sprintf(onlyEverWrong, never)
	}
	if !v.Listed {
		s += listWithAll
	}
	lines := wrapped("", s, v.Columns)
	if count[claim.VerdictRight]+never == len(claims) {
		lines = append(lines, wrapped("", everyClaimRight, v.Columns)...)
	}
	return lines
}

// wrapped is a sentence behind a prefix, in lines.
func wrapped(prefix, sentence string, columns int) []string {
	return strings.Split(Hang(prefix, sentence, columns), "\n")
}

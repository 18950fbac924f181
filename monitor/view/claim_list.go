package view

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/claim"
)

// verdictWidth is how many columns the verdict takes in a list of claims.
const verdictWidth = 14

// verdictColumn is a verdict as a person finds it in a list: in capitals where it is
// wrong.
func verdictColumn(v claim.Verdict) string {
	word := string(v)
	if v == claim.VerdictWrong {
		word = strings.ToUpper(word)
	}
	return fmt.Sprintf("  %-10s  ", word)
}

// ClaimList is the long list: every claim in the sheet's order, its verdict first,
// wrapped at so many columns, of which 0 wraps nothing. Its lines have no line feed.
func ClaimList(claims []*claim.Claim, columns int, p Paint) []string {
	lines := []string{"The sheet's claims:"}
	for _, c := range claims {
		verdict, all := verdictColumn(c.Verdict), Hang(verdictColumn(c.Verdict), c.Sentence, columns)
		switch grade := gradeOfVerdict(string(c.Verdict)); grade {
		case Wrong:
			all = p.In(grade, all)
		case Right:
			all = p.In(grade, verdict) + strings.TrimPrefix(all, verdict)
		case Plain, Trouble:
		}
		lines = append(lines, strings.Split(all, "\n")...)
	}
	return lines
}

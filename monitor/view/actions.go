package view

import (
	"slices"

	"benchproof.example/monitor/claim"
)

// action is one thing to do, and how many claims it settles.
type action struct {
	do     string
	claims int
}

// wanted reports a claim that is not settled and can be seen right.
func wanted(c *claim.Claim) bool {
	return !c.OnlyWrong && c.Verdict != claim.VerdictRight && c.Verdict != claim.VerdictWrong
}

// actions are what settles the claims that can still be seen right, what settles most
// first; in the sheet's order where two settle as many.
func actions(claims []*claim.Claim) (list []action) {
	for _, c := range claims {
		if !wanted(c) {
			continue
		}
		do := c.Settle.String()
		if c.Settle.Drill != "" {
			do = "benchproof drill " + c.Settle.Drill
		}
		i := slices.IndexFunc(list, func(a action) bool { return a.do == do })
		if i < 0 {
			i, list = len(list), append(list, action{do: do})
		}
		list[i].claims++
	}
	slices.SortStableFunc(list, func(a, b action) int { return b.claims - a.claims })
	return list
}

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
)

// What is said at the end of a sitting.
const (
	verdictsCounted = "%d seen right, %d seen wrong, %d not seen yet, %d stale."
	onlyEverWrong   = " Of those not seen, %d can only ever be seen wrong; they ask for nothing."
	mendAndReopen   = "\nNext: mend what was seen wrong, then have it seen anew with: %s; and go on."
	seenByExercises = "\nStill to be seen by exercises, with how many claims each: %s. Begin one with benchproof drill " +
		"NAME while it listens."
	allSeenRight = "\nEvery claim of the sheet that can be seen right was. That is evidence about the set-up, not a " +
		"clearance to fly."
)

func addRequire(cmd *cobra.Command) {
	cmd.Flags().String("require", "", `"right": exit 1 also where a claim is still open or stale`)
}

func checkRequire(s string) error {
	if s != "" && s != "right" {
		return fail(exitUsage, fmt.Errorf("got --require %s, want right, or the flag left out", s))
	}
	return nil
}

// printClaims prints the claims in the sheet's order, verdict first, and what to
// do next.
func printClaims(out io.Writer, claims []*claim.Claim) {
	if !slices.ContainsFunc(claims, func(c *claim.Claim) bool { return c.Verdict != claim.VerdictOpen }) {
		unseen := slices.DeleteFunc(slices.Clone(claims), func(c *claim.Claim) bool { return c.OnlyWrong })
		fmt.Fprintf(out, "None of the sheet's %d claims was seen.\n%s\n", len(claims), howToSee(unseen))
		return
	}
	fmt.Fprintln(out, "The sheet's claims:")
	for _, c := range claims {
		fmt.Fprintf(out, "  %-10s  %s\n", mark(c.Verdict), c.Sentence)
	}
	fmt.Fprintln(out)
	fmt.Fprintln(out, next(claims))
}

// mark is a verdict as a person finds it in a list.
func mark(v claim.Verdict) string {
	if v == claim.VerdictWrong {
		return strings.ToUpper(string(v))
	}
	return string(v)
}

// next says how many claims have which verdict, repeats what was seen wrong, which
// the long list hides, and says how to see the rest.
func next(claims []*claim.Claim) string {
	count := map[claim.Verdict]int{}
	var wrong, unseen []*claim.Claim
	never := 0
	for _, c := range claims {
		count[c.Verdict]++
		switch {
		case c.Verdict == claim.VerdictWrong:
			wrong = append(wrong, c)
		case c.Verdict != claim.VerdictRight && c.OnlyWrong:
			never++
		case c.Verdict != claim.VerdictRight:
			unseen = append(unseen, c)
		}
	}
	s := fmt.Sprintf(verdictsCounted, count[claim.VerdictRight], count[claim.VerdictWrong], count[claim.VerdictOpen], count[claim.VerdictStale])
	if never > 0 {
		s += fmt.Sprintf(onlyEverWrong, never)
	}
	for _, c := range wrong {
		s += "\n  " + mark(c.Verdict) + "  " + c.Sentence
	}
	if len(wrong) > 0 {
		s += fmt.Sprintf(mendAndReopen, reopening(wrong))
	}
	s += howToSee(unseen)
	if count[claim.VerdictRight]+never == len(claims) {
		s += allSeenRight
	}
	return s
}

// reopening are the commands after which claims are seen anew.
func reopening(claims []*claim.Claim) string {
	var list []string
	for _, c := range claims {
		if do := "benchproof reopen " + c.Reopens; !slices.Contains(list, do) {
			list = append(list, do)
		}
	}
	return strings.Join(list, ", ")
}

// howToSee says by what claims can be seen: lines, each begun with a line feed.
func howToSee(claims []*claim.Claim) (s string) {
	drills := map[string]int{}
	var order, settle []string
	for _, c := range claims {
		switch {
		case c.Settle.Drill == "" && !slices.Contains(settle, c.Settle.String()):
			settle = append(settle, c.Settle.String())
		case c.Settle.Drill != "":
			if drills[c.Settle.Drill]++; drills[c.Settle.Drill] == 1 {
				order = append(order, c.Settle.Drill)
			}
		}
	}
	if len(settle) > 0 {
		s += "\nStill to be seen without an exercise: " + strings.Join(settle, "; ") + "."
	}
	for i, d := range order {
		order[i] = fmt.Sprintf("%s (%d)", d, drills[d])
	}
	if len(order) > 0 {
		s += fmt.Sprintf(seenByExercises, strings.Join(order, ", "))
	}
	return s
}

// verdict is the exit of a command that judged: a signal that stopped it counts
// before what was seen.
func verdict(ctx context.Context, claims []*claim.Claim, require string) error {
	wrong := slices.ContainsFunc(claims, func(c *claim.Claim) bool {
		return c.Verdict == claim.VerdictWrong || require == "right" && c.Verdict != claim.VerdictRight && !c.OnlyWrong
	})
	switch {
	case ctx.Err() != nil:
		return fail(exitInterrupted, errors.New(""))
	case wrong:
		return fail(exitWrong, errors.New(""))
	}
	return nil
}

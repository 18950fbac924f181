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

func addRequire(cmd *cobra.Command) {
	cmd.Flags().String("require", "", `"right": exit 1 also where a claim is still open or stale`)
}

func checkRequire(s string) error {
	if s != "" && s != "right" {
		return fail(exitUsage, fmt.Errorf("got --require %s, want right, or the flag left out", s))
	}
	return nil
}

// tellClaims prints the claims in the sheet's order, verdict first, and what to
// do next.
func tellClaims(out io.Writer, claims []*claim.Claim) {
	fmt.Fprintln(out, "The sheet's claims:")
	for _, c := range claims {
		fmt.Fprintf(out, "  %-10s  %s\n", mark(c.Verdict), c.Sentence)
	}
	fmt.Fprintln(out)
	fmt.Fprintln(out, next(claims))
}

// mark is a verdict as a person finds it in a list.
func mark(v claim.Verdict) string {
	if v == claim.Wrong {
		return "SEEN WRONG"
	}
	return string(v)
}

// next is a sentence on what to do.
func next(claims []*claim.Claim) string {
	count := map[claim.Verdict]int{}
	drills := map[string]int{}
	var order, settle []string
	for _, c := range claims {
		count[c.Verdict]++
		if c.Verdict != claim.Open && c.Verdict != claim.Stale {
			continue
		}
		switch {
		case c.Drill == "":
			if !slices.Contains(settle, c.Settle) {
				settle = append(settle, c.Settle)
			}
		default:
			if drills[c.Drill]++; drills[c.Drill] == 1 {
				order = append(order, c.Drill)
			}
		}
	}
	s := fmt.Sprintf("%d seen right, %d seen wrong, %d not seen yet, %d stale.", count[claim.Right], count[claim.Wrong], count[claim.Open], count[claim.Stale])
	if count[claim.Wrong] > 0 {
		s += "\nNext: mend what was seen wrong, then say so with: benchproof reopen everything, and go on."
	}
	if len(settle) > 0 {
		s += "\nStill to be seen by itself: " + strings.Join(settle, "; ") + "."
	}
	for _, d := range order {
		s += fmt.Sprintf("\nStill to be seen by an exercise: benchproof drill %s (%d claims).", d, drills[d])
	}
	if count[claim.Right] == len(claims) {
		s += "\nEvery claim of the sheet was seen right. That is evidence about the set-up, not a clearance to fly."
	}
	return s
}

// verdict is the exit of a command that judged: a signal that stopped it counts
// before what was seen.
func verdict(ctx context.Context, claims []*claim.Claim, require string) error {
	wrong := slices.ContainsFunc(claims, func(c *claim.Claim) bool {
		return c.Verdict == claim.Wrong || require == "right" && c.Verdict != claim.Right
	})
	switch {
	case ctx.Err() != nil:
		return fail(exitInterrupted, errors.New(""))
	case wrong:
		return fail(exitWrong, errors.New(""))
	}
	return nil
}

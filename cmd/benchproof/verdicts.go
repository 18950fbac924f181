package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
)

func addRequire(cmd *cobra.Command) {
	cmd.Flags().String("require", "", `"right": exit code 1 also where a claim was not seen yet (open), or only before a change that it depends on (stale)`)
}

func checkRequire(s string) error {
	if s != "" && s != "right" {
		return fail(exitUsage, fmt.Errorf("got --require %s, want right, or the flag left out", s))
	}
	return nil
}

// verdict is the exit of a command that judged.
func verdict(claims []*claim.Claim, require string) error {
	wrong := slices.ContainsFunc(claims, func(c *claim.Claim) bool {
		return c.Verdict == claim.VerdictWrong || require == "right" && c.Verdict != claim.VerdictRight && !c.OnlyWrong
	})
	if wrong {
		return fail(exitWrong, errQuiet)
	}
	return nil
}

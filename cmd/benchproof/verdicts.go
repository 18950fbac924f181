package main

import (
	"context"
	"errors"
	"fmt"
	"slices"

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

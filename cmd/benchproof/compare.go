package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/earlier"
	"benchproof.example/monitor/report/page"
)

func compareCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "compare THEN NOW",
		Short: "tell what differs between two sessions of one model",
		Long: `compare says what was seen right in the earlier session and is not in the later
one, which figures moved by more than chance explains, which claims came or went,
what the receiver did differently without a signal, and what was changed in the
sheet. Both sessions are judged by this program. It exits with 1 when something
is seen wrong now that was not then. What was seen right and is open or stale now
is listed, but does not count as worse: then it exits with 0. Of two long runs, an hour
or more of a live link each, it first says whether they were done alike, then counts
and bounds side by side, and whether more was missed on the air than sessions differ by:
that takes three earlier ones beside the later that declare the same and keep a record.
So do range walks, mark by mark.`,
		Example:           "  benchproof compare sessions/reedwing-1400/2026-05-02-110000 sessions/reedwing-1400/2026-05-09-100000",
		Args:              takes(2, 2, "the folders of two sessions, the earlier one first"),
		RunE:              compareSessions,
		ValidArgsFunction: folders,
	}
	cmd.Flags().Bool("json", false, "print the comparison as JSON")
	return cmd
}

func compareSessions(cmd *cobra.Command, args []string) error {
	then, err := report.Load(cmd.Context(), args[0])
	if err != nil {
		return fail(recordCode(err), err)
	}
	now, err := report.Load(cmd.Context(), args[1])
	if err != nil {
		return fail(recordCode(err), err)
	}
	c, err := earlier.Compare(args[0], then, args[1], now)
	if err != nil {
		return fail(recordCode(err), err)
	}
	if now.Begun.Before(then.Begun) {
		fmt.Fprintf(cmd.ErrOrStderr(), "benchproof: %s is the later session of the two; the earlier one comes first\n", args[0])
	}
	if err := printComparison(cmd, c); err != nil {
		return fail(exitDevice, err)
	}
	if c.Worse() {
		return fail(exitWrong, errQuiet)
	}
	return nil
}

func printComparison(cmd *cobra.Command, c *compare.Comparison) error {
	out := cmd.OutOrStdout()
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON {
		e := json.NewEncoder(out)
		e.SetEscapeHTML(false)
		return e.Encode(c)
	}
	_, err := fmt.Fprintf(out, "%s: %s, then %s\n", c.Model, page.FormatDate(c.Then.Begun), page.FormatDate(c.Now.Begun))
	for _, line := range page.Differences(c) {
		_, printed := fmt.Fprintln(out, "  "+line)
		err = errors.Join(err, printed)
	}
	return err
}

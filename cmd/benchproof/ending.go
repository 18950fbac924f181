package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/view"
)

func addAll(cmd *cobra.Command) {
	cmd.Flags().Bool("all", false, "at the end list every claim; without it a terminal gets one screen, a file or pipe the list")
}

// besideEnding are the rows of a screen that its ending leaves to what is said before and
// after it.
const besideEnding = 6

// printEnding prints what a sitting showed: on a terminal one screen of it, unless all is
// asked for; elsewhere the summary and every claim, each on a line of its own.
func printEnding(out io.Writer, summary []string, claims []*claim.Claim, all bool) {
	columns, rows := sizeOf(out)
	long := all || columns == 0
	ending := view.Ending{Columns: columns, Paint: paintOf(out), Listed: true}
	if !long {
		ending.Rows, ending.Listed, summary = max(1, rows-besideEnding), false, nil
	}
	fmt.Fprintln(out)
	for _, line := range summary {
		fmt.Fprintln(out, line)
	}
	if len(summary) > 0 {
		fmt.Fprintln(out)
	}
	if all || long && !view.NoneSeen(claims) {
		for _, line := range view.ClaimList(claims, columns, ending.Paint) {
			_ = printPainted(out, line+"\n")
		}
		fmt.Fprintln(out)
	}
	for _, line := range ending.Lines(claims) {
		_ = printPainted(out, line+"\n")
	}
}

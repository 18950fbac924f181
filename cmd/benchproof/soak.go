package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/report"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/view"
)

func soakCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "soak SESSION",
		Short: "the account of a long run: how long it was watched, what happened, what that proves",
		Long: `soak judges a session again, as a long run on the bench: how long a live link was
watched and what was not, which outages there were and on how many occasions, half an
hour or more apart, what that proves (on average at most one occasion in so many
hours, 95 % sure, which holds whenever somebody looks), and what it does not. It also
prints under what the run was done, as the sheet declares it in its section soak. Whatever
benchproof watched can be counted so; a range walk is one with marks. It is evidence
about the set-up on a bench, never a clearance to fly.`,
		Example:           "  benchproof soak sessions/reedwing-1400/2026-05-02-110000",
		Args:              takes(1, 1, "the folder of one session"),
		RunE:              soak,
		ValidArgsFunction: folders,
	}
	cmd.Flags().Bool("json", false, "print the account as JSON, as it stands in the answer to GET /api/state")
	return cmd
}

func soak(cmd *cobra.Command, args []string) error {
	s, err := report.FinalState(cmd.Context(), args[0], session.Fingerprint())
	if err != nil {
		return fail(recordCode(err), err)
	}
	begun, err := session.Folder(args[0]).Begun()
	if err != nil {
		return fail(recordCode(err), err)
	}
	out := cmd.OutOrStdout()
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON {
		e := json.NewEncoder(out)
		e.SetEscapeHTML(false)
		return fail(exitDevice, e.Encode(s.Account))
	}
	columns, _ := sizeOf(out)
	if columns > 0 {
		columns = min(columns, paragraph)
	}
	_, err = fmt.Fprint(out, view.Soak(s.Account, s.Model, begun.WallNS, columns))
	return fail(exitDevice, err)
}

package main

import (
	"errors"

	"github.com/spf13/cobra"
)

func sessionCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "session export|verify|thin",
		Short: "what a session's folder holds: take a part of it out, check that it is whole, or save room",
		Example: "  benchproof session verify sessions/reedwing-1400/2026-05-02-110000\n" +
			"  benchproof session export sessions/reedwing-1400/2026-05-02-110000 -o whole.pcapng",
		Args: takes(0, 0, "export, which takes a part out, verify, which checks all of it, or thin, which saves room, and the folder of a session"),
		RunE: func(*cobra.Command, []string) error {
			return fail(exitUsage, errors.New("which? session export FOLDER takes a part of the recording out, session verify FOLDER checks that all is whole, "+
				"session thin FOLDER takes away what was heard long ago"))
		},
	}
	cmd.AddCommand(exportCommand(), verifySessionCommand(), thinCommand())
	return cmd
}

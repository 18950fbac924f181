package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// wantsArgs refuses another number of arguments in a sentence that says what is wanted, such
// as "the folder of a session".
func wantsArgs(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch usage := strings.TrimSuffix(cmd.UseLine(), " [flags]"); {
		case len(args) < n:
			return fail(exitUsage, fmt.Errorf("%s: want %s: %s", cmd.Name(), what, usage))
		case len(args) > n:
			return fail(exitUsage, errors.New(cmd.Name()+": got "+strings.Join(args[n:], " ")+" as well, want no more than "+what+": "+usage))
		}
		return nil
	}
}

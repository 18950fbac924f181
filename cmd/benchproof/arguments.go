package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// onlyFlags is what a command wants that takes no arguments.
const onlyFlags = "flags alone"

// manyArguments is for commands that take as many as they are given.
const manyArguments = 1 << 16

// mostShown is how many characters of what was given are shown.
const mostShown = 60

// takes checks how many arguments a command is given, from least to most of them. want says
// what they are, as it stands behind "wants"; the command's first example shows it.
func takes(least, most int, want string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) >= least && len(args) <= most {
			return nil
		}
		got := "none"
		if len(args) > 0 {
			got = clip(strings.Trim(fmt.Sprintf("%q", args), "[]"), mostShown)
		}
		return fail(exitUsage, fmt.Errorf("%s wants %s, got %s; for instance: %s", cmd.CommandPath(), want, got, firstExample(cmd)))
	}
}

// firstExample is the first example of a command that is given arguments as it wants them.
func firstExample(cmd *cobra.Command) string {
	first, _, _ := strings.Cut(strings.TrimSpace(cmd.Example), "\n")
	return first
}

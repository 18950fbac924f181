package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/sim/badline"
	"benchproof.example/monitor/sim/world"
)

// simulateFault plays a line on which nothing can be read.
func simulateFault(cmd *cobra.Command, name string, seed uint64) error {
	fault, ok := badline.Named(name)
	if !ok {
		return fail(exitUsage, fmt.Errorf("got --fault %s, want one of %s", name, strings.Join(allFaults(), ", ")))
	}
	ptys, err := world.OpenPTYs(1)
	if err != nil {
		return fail(exitDevice, fmt.Errorf("the simulated line needs a pseudo-terminal: %w", err))
	}
	defer func() { _ = ptys.Close() }()
	port := ptys.Paths()[0]
	if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s explain %s\n%s watch --bus %s\n", os.Args[0], port, os.Args[0], port); err != nil {
		return fail(exitDevice, err)
	}
	say(cmd.ErrOrStderr(), "benchproof: a simulated line plays until Ctrl-C; in another terminal ask what is wrong with it (explain), "+
		"or see what a session says of it (watch), with a command from above.")
	listener := func() (uart.Format, bool) { return ptys.Listener(0) }
	err = fault.Play(cmd.Context(), seed, ptys.Ends()[0], listener, world.RealTime{})
	if cmd.Context().Err() != nil {
		err = nil
	}
	if err != nil {
		return fail(exitFault, err)
	}
	return fail(exitInterrupted, errQuiet)
}

// faultList names the faults and what each is, a line each.
func faultList() string {
	var list strings.Builder
	for _, f := range badline.Faults() {
		fmt.Fprintf(&list, "  %-13s %s\n", f.Name, f.About)
	}
	return strings.TrimSuffix(list.String(), "\n")
}

func allFaults() (list []string) {
	for _, f := range badline.Faults() {
		list = append(list, f.Name)
	}
	return list
}

// faultNames completes with the faults.
func faultNames(*cobra.Command, []string, string) (list []cobra.Completion, files cobra.ShellCompDirective) {
	for _, f := range badline.Faults() {
		list = append(list, cobra.CompletionWithDesc(f.Name, f.About))
	}
	return list, cobra.ShellCompDirectiveNoFileComp
}

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// The exit codes, for scripts.
const (
	exitDone        = 0
	exitWrong       = 1   // something was seen wrong, or nothing decodable
	exitUsage       = 2   // wrong usage, sheet or file
	exitDevice      = 3   // trouble with a device or disk
	exitFault       = 4   // our own fault
	exitInterrupted = 130 // stopped by the user
)

// failure is an error that knows its exit code.
type failure struct {
	code int
	err  error
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

func fail(code int, err error) error {
	if err == nil {
		return nil
	}
	return &failure{code, err}
}

// run is the whole program: it returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) (code int) {
	defer func() {
		if fault := recover(); fault != nil {
			fmt.Fprintf(stderr, "benchproof: a fault of ours: %v\n%s", fault, debug.Stack())
			code = exitFault
		}
	}()
	root := newRoot(stdout, stderr)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	var f *failure
	switch {
	case err == nil:
		return exitDone
	case !errors.As(err, &f):
		f = &failure{exitUsage, err} // what the flag parser refused
	}
	if f.err.Error() != "" {
		fmt.Fprintf(stderr, "benchproof: %v\n", f.err)
	}
	return f.code
}

func newRoot(stdout, stderr io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "benchproof COMMAND",
		Short: "listens to a model's servo bus and compares it with a set-up sheet",
		Long: `benchproof listens to the servo bus of a model on the bench, compares what it
hears with a set-up sheet and keeps the evidence. It only listens: nothing is
ever written to a port.

Start with:  benchproof demo

Propeller off AND the drive unable to run before a transmitter is switched off
to see what happens. What is seen here is evidence about the set-up, never a
clearance to fly.`,
		SilenceUsage:      true,
		SilenceErrors:     true,
		Version:           build(),
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: true},
	}
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetVersionTemplate("{{.Version}}\n")
	root.AddCommand(demoCommand(), watchCommand(), replayCommand(), decodeCommand(), sheetCommand(),
		drillCommand(), markCommand(), reopenCommand(), portsCommand(), reportCommand(), compareCommand(),
		simulateCommand(), guideCommand())
	addCompletion(root)
	return root
}

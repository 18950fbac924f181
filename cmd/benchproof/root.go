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
	exitNoReader    = 141 // who read what is printed is gone (| head): what a shell gives a program that ends by that
)

// errQuiet is for an exit code that says all.
var errQuiet = errors.New("")

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
func run(ctx context.Context, args []string, out, talk io.Writer) (code int) {
	stdout, stderr := newPrinter(out), newPrinter(talk)
	defer func() {
		_, _ = stdout.Flush(), stderr.Flush()
	}()
	defer func() {
		if fault := recover(); fault != nil {
			fmt.Fprintf(stderr, "benchproof: a fault of ours: %v\n%s", fault, debug.Stack())
			code = exitFault
		}
	}()
	root := newRoot(stdout, stderr)
	root.SetArgs(args)
	f := outcome(ctx, root.ExecuteContext(ctx))
	if f.err.Error() != "" {
		fmt.Fprintf(stderr, "benchproof: %v\n", f.err)
	}
	return f.code
}

// outcome is the end of a command. That it was told to stop counts before what was seen.
func outcome(ctx context.Context, err error) *failure {
	var f *failure
	switch stopped := ctx.Err() != nil; {
	case stopped && (err == nil || errors.Is(err, ctx.Err()) || errors.Is(err, errUnread)):
		return &failure{exitInterrupted, errQuiet}
	case err == nil:
		return &failure{exitDone, errQuiet}
	case errors.Is(err, errNoReader):
		return &failure{exitNoReader, errQuiet}
	case !errors.As(err, &f):
		return &failure{exitUsage, err} // what the flag parser refused
	case stopped && f.code == exitWrong:
		return &failure{exitInterrupted, errQuiet}
	}
	return f
}

func newRoot(stdout, stderr io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "benchproof COMMAND",
		Short: "listens to a model's servo bus and compares it with a set-up sheet",
		Long: `benchproof listens to the servo bus of a model on the bench, compares what it
hears with a set-up sheet and keeps the evidence. It only listens: nothing is
ever written to a port.

Start with:  benchproof demo
With a model of your own:  benchproof guide first-hour
Where nothing can be read on a port:  benchproof explain PORT

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
	root.AddCommand(demoCommand(), watchCommand(), replayCommand(), decodeCommand(), explainLineCommand(), sheetCommand(), draftCommand(),
		drillCommand(), markCommand(), papersCommand(), cardCommand(), recheckCommand(), reopenCommand(), portsCommand(), doctorCommand(),
		reportCommand(), compareCommand(), soakCommand(),
		sessionCommand(),
		simulateCommand(), guideCommand())
	addCompletion(root)
	return root
}

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

func simulateCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "simulate",
		Short: "a simulated bench on ports of its own, to try watch and drill on",
		Long: `simulate plays a script of the demo over and over, on pseudo-terminals that stand in
for the ports of adapter and capture board, and unplugs them for a moment in between,
until it is stopped (Ctrl-C). It listens to nothing: that is for watch, in another
terminal, with the commands that it prints. The model is invented; its sheet is written
into a file.

With --by-hand nothing is played: the hands do what you type, and the ports stay plugged
in, so a draft, or a drill, can be gone through to its end. Type signal off where you are to
switch the transmitter off.

With --fault it plays one port only, with a line on which nothing can be read, to try
explain on. As a pseudo-terminal has it, characters with errors come as 0x00, unmarked.
The faults:
` + faultList(),
		Example: "  benchproof simulate\n  benchproof simulate --script good\n  benchproof simulate --by-hand\n  benchproof simulate --fault not-inverted",
		Args:    takes(0, 0, onlyFlags),
		RunE:    simulate,
	}
	cmd.Flags().String("script", "wing", "what happens at the bench (see: benchproof demo --help)")
	cmd.Flags().Bool("by-hand", false, "play nothing: the hands do what you type")
	cmd.Flags().String("fault", "", "play a line with this fault, and no script")
	cmd.Flags().String("sheet", "simulated.yaml", "where the model's sheet is written")
	cmd.Flags().Uint64("seed", 1, "of the simulated hands and link")
	cmd.MarkFlagsMutuallyExclusive("fault", "script")
	cmd.MarkFlagsMutuallyExclusive("fault", "sheet")
	cmd.MarkFlagsMutuallyExclusive("fault", "by-hand")
	completeFlag(cmd, "script", scriptsAndFiles)
	completeFlag(cmd, "fault", faultNames)
	completeFlag(cmd, "sheet", sheetFiles)
	return cmd
}

func simulate(cmd *cobra.Command, _ []string) error {
	name, _ := cmd.Flags().GetString("script")
	path, _ := cmd.Flags().GetString("sheet")
	seed, _ := cmd.Flags().GetUint64("seed")
	if fault, _ := cmd.Flags().GetString("fault"); fault != "" {
		return simulateFault(cmd, fault, seed)
	}
	scripted, err := loadScript(name)
	if err != nil {
		return fail(exitUsage, err)
	}
	text, err := demoSheet(name, scripted)
	if err != nil {
		return fail(exitFault, err)
	}
	if err := writeOnce(path, text); err != nil {
		return fail(exitUsage, err)
	}
	if scripted.Phone != nil {
		return fail(exitUsage, errPhoneByHTTP)
	}
	ptys, err := world.OpenPTYs(len(scripted.Taps()))
	if err != nil {
		return fail(exitDevice, fmt.Errorf("the simulated bench needs pseudo-terminals: %w", err))
	}
	defer func() { _ = ptys.Close() }()
	byHand, _ := cmd.Flags().GetBool("by-hand")
	if err := printListeners(cmd.OutOrStdout(), path, scripted.Taps(), ptys.Paths(), byHand); err != nil {
		return fail(exitDevice, err)
	}
	say(cmd.ErrOrStderr(), "benchproof: a simulated bench plays until Ctrl-C; listen to it in another terminal with a command from above.")
	if byHand {
		return playByHand(cmd.Context(), scripted, seed, ptys.Ends(), cmd.InOrStdin(), cmd.ErrOrStderr())
	}
	return playOn(cmd.Context(), scripted, seed, ptys.Ends())
}

// unplugged is for how long the ports are gone between two plays.
const unplugged = 3 * time.Second

// playOn plays a script again and again until ctx is done, each time with hands of
// another seed. In between its ports are unplugged: what a receiver and a board count
// begins anew with each play.
func playOn(ctx context.Context, scripted *script.Script, seed uint64, ends []world.Sink) error {
	for ctx.Err() == nil {
		err := world.Play(ctx, world.New(&scripted.Plan, seed), ends, world.RealTime{})
		if err == nil {
			err = replug(ctx, ends)
		}
		if err != nil && ctx.Err() == nil {
			return fail(exitFault, err)
		}
		seed++
	}
	return fail(exitInterrupted, errQuiet)
}

// replug unplugs the ports for a while.
func replug(ctx context.Context, ends []world.Sink) error {
	var all []error
	for _, end := range ends {
		all = append(all, end.Deliver(world.Delivery{Kind: world.Unplugged}))
	}
	rest(ctx, unplugged)
	for _, end := range ends {
		all = append(all, end.Deliver(world.Delivery{Kind: world.Plugged}))
	}
	return errors.Join(all...)
}

// printListeners prints the commands that listen to simulated ports, by this very program: with the
// sheet, without one and, where somebody can move what it asks for, draft.
func printListeners(out io.Writer, sheet string, taps []world.Tap, paths []string, byHand bool) error {
	lines := []string{
		os.Args[0] + " watch --sheet " + sheet + portFlags(taps, paths),
		os.Args[0] + " watch" + portFlags(taps, paths),
	}
	buses := 0
	for _, t := range taps {
		if t.Kind != world.Pulses {
			buses++
		}
	}
	if byHand && buses == 1 {
		lines = append(lines, os.Args[0]+" draft -o drafted.yaml"+portFlags(taps, paths))
	}
	_, err := fmt.Fprintln(out, strings.Join(lines, "\n"))
	return err
}

// portFlags name the ports of taps.
func portFlags(taps []world.Tap, paths []string) (flags string) {
	for i, t := range taps {
		flag := "--bus"
		if t.Kind == world.Pulses {
			flag = "--leads"
		}
		flags += " " + flag + " " + t.Name + "=" + paths[i]
	}
	return flags
}

// writeOnce writes a file that is not there yet, or says the same.
func writeOnce(path string, text []byte) error {
	switch was, err := files.ReadNamed(path, files.MaxText); {
	case errors.Is(err, fs.ErrNotExist):
		return files.WriteNamed(path, text)
	case err != nil:
		return err
	case !bytes.Equal(was, text):
		return fmt.Errorf("%s is another sheet: move it away, or name another file with --sheet", path)
	}
	return nil
}

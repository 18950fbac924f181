package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

func explainLineCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "explain PORT|FILE",
		Short: "say why nothing can be read on a line, and what to do",
		Long: `explain listens to a port for some seconds, or reads what was captured, and says
the most likely cause of what it hears, how sure that is, what it rests on, and what
to change. "none of these" is an answer, and so is a healthy bus.

A FILE is raw bytes of a bus, a recording, the folder of a session, or a waveform
(see: benchproof decode --help). Raw bytes carry no dates and no marks, so they show
least. Of a waveform it says what a serial input would make of this very wire, and of
the wire behind an inverter. The exit code is 1 where no bus is healthy.

A port is set as watch sets it, nothing is written to it, and it is put back as it was
found. One that a running session listens to is not opened: that session is asked.

What a key of the sheet means says another command: benchproof sheet explain KEY.`,
		Example:           "  benchproof explain /dev/ttyUSB0\n  benchproof explain capture.vcd --signal bus",
		Args:              takes(1, 1, "a port, a file, or the folder of a session"),
		ValidArgsFunction: portsAndFiles,
		RunE:              explainLine,
	}
	cmd.Flags().Bool("try", false, "of a port: if no bus can be read, set it in other ways, too, and put it back")
	cmd.Flags().Duration("for", 4*time.Second, "of a port: how long to listen")
	cmd.Flags().StringArray("signal", nil, "of a waveform: the signal by its name, or by its path")
	cmd.Flags().String("session", "", "of a port: the folder of the session that listens to it (default: those below "+sessionsFolder+")")
	completeFlag(cmd, "session", folders)
	return cmd
}

func explainLine(cmd *cobra.Command, args []string) error {
	p, _ := protocols.Find("")
	out := cmd.OutOrStdout()
	info, err := os.Stat(args[0])
	if err == nil && info.Mode()&os.ModeDevice != 0 || errors.Is(err, os.ErrNotExist) && strings.HasPrefix(strings.ToUpper(args[0]), "COM") {
		return explainPort(cmd, p, args[0])
	}
	signals, _ := cmd.Flags().GetStringArray("signal")
	ears, err := listenTo(cmd.Context(), args[0], &wants{as: asBus, signals: signals, protocol: p, period: 7 * unit.Millisecond})
	if err != nil {
		return decodeFailure(args[0], err)
	}
	healthy := 0
	for i := range ears {
		found, evidence := ears[i].End(ears[i].last)
		printFinding(out, ears[i].name, found, evidence, p)
		if found.Cause == linefault.Healthy {
			healthy++
		}
	}
	if healthy == 0 {
		return fail(exitWrong, errQuiet)
	}
	return nil
}

// printFinding prints the cause, what it rests on and the remedy.
func printFinding(out io.Writer, name string, f linefault.Finding, evidence []string, p *bus.Protocol) {
	if name != "" {
		name += ": "
	}
	printFault(out, name, f.Sentence(), f.Sure, evidence, f.Remedy(p.Line))
}

func printFault(out io.Writer, name, sentence string, sure int, evidence []string, remedy string) {
	fmt.Fprintln(out, text.Wrap(fmt.Sprintf("%s%s (%d %% sure)", name, sentence, sure), readingWidth(out), ""))
	fmt.Fprintln(out, text.Wrap("heard: "+strings.Join(evidence, ", "), readingWidth(out), "  "))
	if remedy != "" {
		fmt.Fprintln(out, text.Wrap("to do: "+remedy, readingWidth(out), "  "))
	}
}

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
the most likely cause of what it hears, how sure that is in percent, what was heard,
and what to change. With 60 % or more it was right in 98 of 100 lines that it was tried
on; less is a guess, and then --try comes before any change to the wires. That a bus is
healthy is an answer, too, and so is that none of the known causes fits.

A FILE is raw bytes of a bus, a recording, the folder of a session, or a waveform
(see: benchproof decode --help). Raw bytes do not tell when each came, nor which were
bad, so they show least. A waveform gets two answers: what an adapter would hear on that
wire, and what it would hear with an inverter before it.

A port is set as watch sets it, nothing is written to it, and at the end it has the
settings again that it had before. A port that a running session listens to is not
opened: explain shows what that session found.

Exit code: 0 where a bus can be read, 1 where none can.

For what a key of a set-up sheet means, use: benchproof sheet explain KEY.`,
		Example:           "  benchproof explain /dev/ttyUSB0\n  benchproof explain capture.vcd --signal bus",
		Args:              takes(1, 1, "a port, a file, or the folder of a session"),
		ValidArgsFunction: portsAndFiles,
		RunE:              explainLine,
	}
	cmd.Flags().Bool("try", false, "of a port: if no bus can be read, try other rates and odd parity, too (not an inverted signal: that takes an inverter)")
	cmd.Flags().Duration("for", 4*time.Second, "of a port: how long to listen, with each setting")
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
	healthy := false
	for i := range ears {
		found, evidence := ears[i].End(ears[i].last)
		printFinding(out, ears[i].name, found, evidence, p)
		healthy = healthy || found.Healthy()
	}
	if !healthy {
		return fail(exitWrong, errQuiet)
	}
	return nil
}

// printFinding prints the cause, what it rests on and what to do.
func printFinding(out io.Writer, name string, f linefault.Finding, evidence []string, p *bus.Protocol) {
	if name != "" {
		name += ": "
	}
	printFault(out, name+f.Sentence(), f, evidence, f.Advice(p.Line))
	if f.Healthy() || f.Cause == linefault.Nothing {
		return
	}
	printUnder(out, fmt.Sprintf("compare: a healthy bus sends bursts of %d characters, one every 7 to 20 ms, and nearly all are part of frames", p.FrameLen))
}

// printFault prints a sentence, what it rests on, how sure it is, and what to do.
func printFault(out io.Writer, sentence string, f linefault.Finding, evidence []string, advice string) {
	fmt.Fprintln(out, text.Wrap(sentence, readingWidth(out), ""))
	printUnder(out, "heard: "+strings.Join(evidence, ", "))
	if sure := f.HowSure(); sure != "" {
		printUnder(out, "how sure: "+sure)
	}
	if advice != "" {
		printUnder(out, "to do: "+advice)
	}
}

// printUnder prints a paragraph that belongs to the line above.
func printUnder(out io.Writer, paragraph string) {
	fmt.Fprintln(out, text.Wrap(paragraph, readingWidth(out), "  "))
}

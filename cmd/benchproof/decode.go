package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/waveform"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

func decodeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "decode FILE",
		Short: "print the frames or pulses of a file: raw bytes, a recording, a waveform",
		Long: `decode prints one JSON object for each frame or pulse of a file, and an account
at the end. FILE - is standard input. A file is one of

  raw bytes    of a bus, or the lines of a capture board
  recording    of a session (pcapng)
  waveform     a value change dump (VCD, IEEE 1364) or a list of edges (CSV, whose
               header names the unit of time: time_ns,bus,pwm1)

What a file is shows by its beginning. A waveform with several signals needs
--signal, and --as where more than one is named.`,
		Example: "  benchproof decode sessions/reedwing-1400/2026-05-02-110000/recording.pcapng\n" +
			"  benchproof decode capture.vcd --as bus --signal bus",
		Args: takes(1, 1, "a file, the folder of a session, or - for standard input"),
		RunE: decode,
	}
	cmd.Flags().String("as", "", "what to decode: bus or pulses (default: what the file shows)")
	cmd.Flags().StringArray("signal", nil, "of a waveform: the signal by its name, or by its path; for pulses several times")
	cmd.Flags().String("invert", "auto", "of a waveform: auto, yes or no. yes: pulses are low; a bus idles low, as it "+
		"leaves the receiver. auto finds the polarity of a bus and takes pulses as they are")
	cmd.Flags().String("protocol", "", "of a bus: "+strings.Join(protocols.All().Names(), ", ")+" (default: what a recording names, else the first)")
	cmd.Flags().Duration("period", 7*time.Millisecond, "of raw bus bytes, which carry no time: from frame to frame")
	completeFlag(cmd, "protocol", cobra.FixedCompletions(protocols.All().Names(), cobra.ShellCompDirectiveNoFileComp))
	return cmd
}

// wants is what the flags say.
type wants struct {
	as       string // "bus", "pulses", "" for what the file shows
	signals  []string
	invert   string        // "auto", "yes", "no"
	protocol *bus.Protocol // of raw bytes and waveforms, the first of the table where none was asked for
	asked    bool          // the protocol was asked for
	period   unit.Duration
}

const asBus, asPulses = "bus", "pulses"

func decodeWants(cmd *cobra.Command) (w wants, err error) {
	w.as, _ = cmd.Flags().GetString("as")
	w.signals, _ = cmd.Flags().GetStringArray("signal")
	w.invert, _ = cmd.Flags().GetString("invert")
	name, _ := cmd.Flags().GetString("protocol")
	var known bool
	w.protocol, known = protocols.Find(name)
	w.asked = name != ""
	period, _ := cmd.Flags().GetDuration("period")
	w.period = unit.Duration(period)
	switch {
	case !slices.Contains([]string{"", asBus, asPulses}, w.as):
		return w, fmt.Errorf("got --as %s, want bus or pulses", w.as)
	case !slices.Contains([]string{"auto", "yes", "no"}, w.invert):
		return w, fmt.Errorf("got --invert %s, want auto, yes or no", w.invert)
	case !known:
		return w, fmt.Errorf("got --protocol %s, want one of %s", name, strings.Join(protocols.All().Names(), ", "))
	case period < time.Duration(w.protocol.FrameTime()):
		return w, fmt.Errorf("got --period %v, want at least the %v that a frame takes", period, time.Duration(w.protocol.FrameTime()))
	}
	return w, nil
}

func decode(cmd *cobra.Command, args []string) error {
	w, err := decodeWants(cmd)
	if err != nil {
		return fail(exitUsage, err)
	}
	out := bufio.NewWriterSize(cmd.OutOrStdout(), 1<<16)
	name, accounts, err := decodeNamed(cmd.Context(), cmd.InOrStdin(), args[0], json.NewEncoder(out), &w)
	err = errors.Join(err, out.Flush())
	var items int64
	for _, a := range accounts {
		items += a.items()
		fmt.Fprintln(cmd.ErrOrStderr(), a.sentence())
	}
	var damaged *hurtError
	switch {
	case errors.As(err, &damaged):
		for _, place := range damaged.places {
			fmt.Fprintln(cmd.ErrOrStderr(), "benchproof:", place)
		}
		return fail(exitUsage, err)
	case err != nil:
		return decodeFailure(name, err)
	case items == 0:
		return fail(exitWrong, fmt.Errorf("no %s in %s", w.soughtAfter(accounts), name))
	}
	return nil
}

// decodeNamed decodes what an argument names: the folder of a session, a file, or standard
// input.
func decodeNamed(ctx context.Context, stdin io.Reader, arg string, lines *json.Encoder, w *wants) (name string, accounts []account, err error) {
	if arg == "-" {
		accounts, err = decodeAny(ctx, bufio.NewReaderSize(newInterruptible(ctx, stdin), 1<<16), lines, w)
		return "standard input", accounts, err
	}
	if info, err := os.Stat(arg); err == nil && info.IsDir() {
		accounts, err = decodeSession(ctx, session.Folder(arg), lines, w)
		return arg, accounts, err
	}
	f, err := files.OpenNamed(arg)
	if err != nil {
		return arg, nil, fail(exitUsage, fmt.Errorf("nothing to decode: %w", err))
	}
	defer func() { _ = f.Close() }()
	if recorded, is, err := recording.OpenFile(f, arg); is || err != nil {
		if err == nil {
			accounts, err = decodeRecording(ctx, recording.NewReader(newInterruptible(ctx, recorded)), lines, w)
		}
		return arg, accounts, err
	}
	accounts, err = decodeAny(ctx, bufio.NewReaderSize(newInterruptible(ctx, f), 1<<16), lines, w)
	return arg, accounts, err
}

// decodeSession decodes what a session recorded.
func decodeSession(ctx context.Context, folder session.Folder, lines *json.Encoder, w *wants) (accounts []account, err error) {
	err = readSession(folder, func(r inputs) (err error) {
		accounts, err = decodeRecording(ctx, r, lines, w)
		return err
	})
	return accounts, err
}

// readSession has the recording of a session read.
func readSession(folder session.Folder, read func(inputs) error) error {
	if !folder.Exists() {
		return fail(exitUsage, fmt.Errorf("%s is no session: it has no recording", string(folder)))
	}
	in, err := folder.Open()
	if err != nil {
		return fail(exitUsage, err)
	}
	defer func() { _ = in.Close() }()
	r, err := recording.OpenSegments(in)
	if err != nil {
		return fail(exitUsage, err)
	}
	defer func() { _ = r.Close() }()
	return read(r)
}

// decodeFailure distinguishes trouble with what is in a file from trouble with reading it.
func decodeFailure(name string, err error) error {
	var place *waveform.Error
	var choice *choiceError
	var own *failure
	switch {
	case errors.As(err, &own):
		return own
	case errors.As(err, &place):
		return fail(exitUsage, fmt.Errorf("%s:%d:%d: %s", name, place.Line, place.Column, place.Text))
	case errors.As(err, &choice):
		return fail(exitUsage, fmt.Errorf("%s: %w", name, err))
	case errors.Is(err, recording.ErrNotRecording), errors.Is(err, recording.ErrNewer):
		return fail(exitUsage, err)
	}
	return fail(exitDevice, fmt.Errorf("decode %s: %w", name, err))
}

// decodeAny finds out what a file is.
func decodeAny(ctx context.Context, in *bufio.Reader, lines *json.Encoder, w *wants) ([]account, error) {
	head, _ := in.Peek(waveform.Sniffed)
	kind, _ := waveform.Sniff(head)
	isRecording := recording.Begins(head[:min(4, len(head))])
	isRaw := !isRecording && (kind == waveform.Unknown || isBoard(head))
	if !isRecording && !isRaw {
		return decodeWaveform(in, lines, w)
	}
	if len(w.signals) > 0 {
		return nil, &choiceError{"found no waveform; want one with --signal, which names a line of it"}
	}
	switch {
	case isRecording:
		return decodeRecording(ctx, recording.NewReader(in), lines, w)
	case w.as == asPulses, w.as == "" && isBoard(head):
		return decodeLines(in, lines)
	}
	return decodeRaw(in, lines, w)
}

// isBoard reports the lines of a capture board, which may begin within one.
func isBoard(head []byte) bool {
	return bytes.HasPrefix(head, []byte("$PBP")) || bytes.Contains(head, []byte("\n$PBP"))
}

// choiceError says what has to be chosen for a file.
type choiceError struct{ text string }

func (c *choiceError) Error() string { return c.text }

// account is where the bytes of one bus or lead went.
type account interface {
	sentence() string // the last line of talk
	items() int64     // frames or pulses
	what() string     // "frame" or "pulse"
}

// soughtAfter is what a file without any lacks.
func (w *wants) soughtAfter(accounts []account) string {
	var names []string
	for _, a := range accounts {
		if !slices.Contains(names, a.what()) {
			names = append(names, a.what())
		}
	}
	switch {
	case len(names) > 0:
		return strings.Join(names, " and no ")
	case w.as == asPulses:
		return "pulse"
	}
	return "frame"
}

// refusals lists counts by reason: "3 no-header, 1 cut-off".
func refusals[R fmt.Stringer](counts []int64, reason func(int) R) string {
	var out []string
	for r, n := range counts {
		if n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, reason(r)))
		}
	}
	return strings.Join(out, ", ")
}

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

func exportCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "export FOLDER",
		Short: "write the recording, or a span of it, as one plain pcapng file",
		Long: `export writes what a session recorded, or a span of it, as one plain pcapng file,
also where most of the recording is packed: one packet for each read, dated, on an
interface for each port. Packet analysers open it, and replay and decode take an
export of the whole as the recording itself.

--from and --to are times since the session began (90s, 1h10m) or dates
(2026-05-02T11:00:00Z; without a zone they are UTC). What is lacking in the
recording is lacking in the export.`,
		Example: "  benchproof session export sessions/reedwing-1400/2026-05-02-110000 -o whole.pcapng\n" +
			"  benchproof session export sessions/reedwing-1400/2026-05-02-110000 --from 5s --to 10s -o part.pcapng",
		Args:              takes(1, 1, "the folder of one session"),
		RunE:              export,
		ValidArgsFunction: folders,
	}
	cmd.Flags().String("from", "", "begin here (default: where the session began)")
	cmd.Flags().String("to", "", "end before this (default: where the recording ends)")
	cmd.Flags().StringP("output", "o", "-", "write to this file; - is standard output")
	return cmd
}

func export(cmd *cobra.Command, args []string) error {
	span, err := spanOf(cmd)
	if err != nil {
		return fail(exitUsage, err)
	}
	in, err := session.Folder(args[0]).Open()
	if err != nil {
		return fail(exitUsage, withoutCall(err))
	}
	defer func() { _ = in.Close() }()
	var done recording.Exported
	write := func(to io.Writer) (err error) {
		done, err = recording.Export(cmd.Context(), in, span, to)
		if err == nil && done.Inputs == 0 {
			return errNothingThere
		}
		return err
	}
	output, _ := cmd.Flags().GetString("output")
	switch {
	case output != "-":
		err = files.WriteNamedBy(output, write)
	case isTerminal(cmd.OutOrStdout()):
		return fail(exitUsage, errors.New("an export is no text for a terminal: name a file with -o FILE"))
	default:
		err = write(unlessTerminal(cmd.OutOrStdout()))
	}
	if err != nil {
		return fail(exportCode(err), err)
	}
	from, to := time.Unix(0, done.Base+int64(done.First)).UTC(), time.Unix(0, done.Base+int64(done.Last)).UTC()
	fmt.Fprintf(cmd.ErrOrStderr(), "%d inputs, from %s to %s\n", done.Inputs, from.Format(time.RFC3339), to.Format(time.RFC3339))
	for _, d := range done.Damages {
		fmt.Fprintf(cmd.ErrOrStderr(), "benchproof: the recording is damaged %s\n", d)
	}
	if len(done.Damages) > 0 {
		return fail(exitUsage, errors.New("the recording is hurt: what could be read of it was exported, and the holes are in the export too"))
	}
	return nil
}

// errNothingThere says that a span is empty.
var errNothingThere = errors.New("nothing was recorded in that span")

// exportCode is the exit code for an export that failed.
func exportCode(err error) int {
	switch {
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, errNothingThere), errors.Is(err, fs.ErrNotExist), errors.Is(err, recording.ErrNotRecording), errors.Is(err, recording.ErrNewer):
		return exitUsage
	}
	return exitDevice
}

func spanOf(cmd *cobra.Command) (span recording.Span, err error) {
	from, _ := cmd.Flags().GetString("from")
	to, _ := cmd.Flags().GetString("to")
	span.From, err = momentOf("from", from)
	if err == nil {
		span.To, err = momentOf("to", to)
	}
	if err == nil && to != "" && span.To == (recording.Moment{}) {
		err = fmt.Errorf("got --to %s, want a later moment than the session's start", clip(to, 40))
	}
	return span, err
}

// momentOf reads a time since the session began, or a date.
func momentOf(flag, text string) (recording.Moment, error) {
	if text == "" {
		return recording.Moment{}, nil
	}
	if since, err := time.ParseDuration(text); err == nil && since >= 0 {
		return recording.Moment{Since: unit.Duration(since)}, nil
	}
	if date, ok := parseDate(text); ok {
		return recording.Moment{UnixNS: date.UnixNano()}, nil
	}
	return recording.Moment{}, fmt.Errorf("got --%s %s, want a time since the session began, such as 90s or 1h10m, or a date, such as 2026-05-02T11:00:00Z",
		flag, clip(text, 40))
}

// parseDate reads a date; without a zone it is UTC, as in timelines and reports.
func parseDate(text string) (time.Time, bool) {
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05", "2006-01-02T15:04", time.DateOnly} {
		if date, err := time.Parse(layout, text); err == nil && date.Year() >= 1970 && date.Year() < 2106 {
			return date, true
		}
	}
	return time.Time{}, false
}

package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

func verifySessionCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "verify FOLDER",
		Short: "check that all that a session's folder holds is as it was written",
		Long: `verify reads all of a session: each part of the recording, each line of the
timeline, each checkpoint. It says what is damaged, missing, out of order or from
another session, compares recording and timeline with what checkpoints say of them
and, if this very build judged then, judges the recording once more: that must
give the timeline again, outside the gaps that the recording tells itself. It
changes nothing. It exits with 2 when something is not as it was written.`,
		Example:           "  benchproof session verify sessions/reedwing-1400/2026-05-02-110000",
		Args:              takes(1, 1, "the folder of one session"),
		RunE:              verifySession,
		ValidArgsFunction: folders,
	}
	cmd.Flags().Bool("json", false, "print what was found as JSON")
	return cmd
}

func verifySession(cmd *cobra.Command, args []string) error {
	found, err := session.Verify(cmd.Context(), session.Folder(args[0]), session.Fingerprint(), build())
	if err != nil {
		return fail(verifyCode(err), withoutCall(err))
	}
	out := cmd.OutOrStdout()
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON {
		lines := json.NewEncoder(out)
		lines.SetEscapeHTML(false)
		err = lines.Encode(found)
	} else {
		err = printVerified(out, args[0], found)
	}
	switch {
	case err != nil:
		return fail(exitDevice, err)
	case len(found.Faults) > 0:
		return fail(exitUsage, errors.New("the session is not as it was written"))
	}
	return nil
}

func printVerified(out io.Writer, folder string, v *session.Verified) error {
	head := folder + " is as it was written"
	if len(v.Faults) > 0 {
		head = folder + " is NOT as it was written"
	}
	_, err := fmt.Fprintf(out, "%s: inputs: %d; parts of the recording: %d, packed: %d; events: %d; checkpoints: %d\n",
		head, v.Inputs, v.Segments, v.Packed, v.Events, v.Checkpoints)
	var lines []string
	for _, f := range v.Faults {
		lines = append(lines, "  "+f)
	}
	if v.SameBuild && len(v.Faults) == 0 {
		lines = append(lines, fmt.Sprintf("  judged once more by the same build, the recording gives %d of the events again, byte for byte", v.Compared))
	}
	for _, n := range v.Notes {
		lines = append(lines, "  but: "+n)
	}
	for _, line := range lines {
		_, printed := fmt.Fprintln(out, line)
		err = errors.Join(err, printed)
	}
	return err
}

// verifyCode is the exit code for a session that can't be verified.
func verifyCode(err error) int {
	var m sheet.Mistakes
	switch {
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &m), errors.Is(err, fs.ErrNotExist), errors.Is(err, recording.ErrNewer), errors.Is(err, recording.ErrNotRecording):
		return exitUsage
	}
	return exitDevice
}

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/earlier"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

func reportCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "report SESSION",
		Short: "print what a session showed: the bench report, one HTML file",
		Long: `report judges a session again and writes record.json and the bench report into
its folder. The report is one HTML file that needs nothing else; a browser prints
it. Its first page is one printed page: what is wrong and what to do, what was not
looked at or not settled, which switch position asks for which mode, the moment the signal was
lost, and what got worse since the latest earlier session of the same model that
lies beside this one and heard something. Then come what is open, by the action that settles it, and
an appendix with all verdicts, traces and the sheet; --short leaves it out. It is
evidence about the set-up, never a clearance to fly.`,
		Example: "  benchproof report sessions/reedwing-1400/2026-05-02-110000\n" +
			"  benchproof report sessions/reedwing-1400/2026-05-02-110000 --short -o to-print.html",
		Args:              takes(1, 1, "the folder of one session"),
		RunE:              printReport,
		ValidArgsFunction: folders,
	}
	cmd.Flags().StringP("output", "o", "", "write the page to this file; - is standard output (default: report.html in the session's folder)")
	cmd.Flags().Bool("json", false, "print the record as JSON instead of writing the page")
	cmd.Flags().Bool("short", false, "leave out the appendix: all verdicts with their evidence, traces, drills, link, outputs, timeline, sheet")
	cmd.Flags().String("since", "", "tell what changed since this session (default: the latest earlier one of the model beside it that heard something)")
	completeFlag(cmd, "since", folders)
	return cmd
}

func printReport(cmd *cobra.Command, args []string) error {
	flags := cmd.Flags()
	output, _ := flags.GetString("output")
	asJSON, _ := flags.GetBool("json")
	if asJSON && output != "" {
		return fail(exitUsage, errors.New("got --json and -o, want one of them: --json prints the record, -o names the page's file"))
	}
	folder, talk := args[0], cmd.ErrOrStderr()
	ctx := cmd.Context()
	r, err := report.Load(ctx, folder)
	if err != nil {
		return fail(recordCode(err), err)
	}
	keep(r, folder, talk)
	if asJSON {
		data, err := r.Encode()
		if err == nil {
			_, err = cmd.OutOrStdout().Write(data)
		}
		return fail(exitDevice, err)
	}
	since, _ := flags.GetString("since")
	changed, passed, err := changes(ctx, folder, since, r, talk)
	if err != nil {
		return fail(recordCode(err), err)
	}
	var html bytes.Buffer
	short, _ := flags.GetBool("short")
	if err := page.Write(&html, r, changed, page.Options{Short: short, PassedOver: passed}); err != nil {
		return fail(exitFault, err)
	}
	if output == "-" {
		_, err := cmd.OutOrStdout().Write(html.Bytes())
		return fail(exitDevice, err)
	}
	if output, err = keepPage(folder, output, html.Bytes()); err != nil {
		return fail(exitDevice, err)
	}
	if len(r.Claims) == 0 {
		_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s: what was heard is in %s. %s\n", r.Model, output, record.NothingJudged)
		return fail(exitDevice, err)
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s: %d seen right, %d seen wrong, %d open, %d stale; the bench report is in %s\n",
		r.Model, r.Count.Right, r.Count.Wrong, r.Count.Open, r.Count.Stale, output)
	return fail(exitDevice, err)
}

// keep writes the record beside the recording. A folder that can't be written to
// is no reason not to print.
func keep(r *record.Record, folder string, talk io.Writer) {
	in, err := session.Folder(folder).Open()
	if err == nil {
		err = errors.Join(r.Keep(in), in.Close())
	}
	if err != nil {
		fmt.Fprintln(talk, "benchproof:", err)
	}
}

// keepPage writes the page where it was asked for, or into the session's folder.
func keepPage(folder, output string, html []byte) (string, error) {
	if output != "" {
		return output, files.WriteNamed(output, html)
	}
	in, err := session.Folder(folder).Open()
	if err != nil {
		return "", err
	}
	return filepath.Join(folder, record.PageFile), errors.Join(files.Replace(in, record.PageFile, html), in.Close())
}

// changes compares with the session that was named, or with the latest earlier one beside
// the folder in which something was heard, if there is one. passed are
// later ones that were passed over for it, and why.
func changes(ctx context.Context, folder, since string, r *record.Record, talk io.Writer) (c *compare.Comparison, passed []string, err error) {
	if since != "" {
		was, err := report.Load(ctx, since)
		if err != nil {
			return nil, nil, err
		}
		c, err = earlier.Compare(since, was, folder, r)
		return c, nil, err
	}
	c, before, err := earlier.Changes(ctx, folder, r)
	for _, p := range before.PassedOver {
		say(talk, fmt.Sprintf("benchproof: the earlier session %s is passed over: %s", p.Folder, p.Why))
	}
	if before.Folder != "" {
		say(talk, fmt.Sprintf("benchproof: what changed is told since %s, the latest earlier session in which something was heard; --since names another",
			before.Folder))
	}
	return c, earlier.PassedOver(before), err
}

// recordCode is the exit code for a record that can't be had.
func recordCode(err error) int {
	var m sheet.Mistakes
	for _, own := range []error{report.ErrNoSession, record.ErrNewer, compare.ErrOtherModel, recording.ErrNewer, recording.ErrNotRecording, fs.ErrNotExist} {
		if errors.Is(err, own) {
			return exitUsage
		}
	}
	if errors.As(err, &m) {
		return exitUsage
	}
	return exitDevice
}

// keepRecord leaves record.json in the folder of a session that is over: showed or, where
// that is nil, what judging the recording again shows. What hinders it is reported; the
// session itself is complete without. Where it takes long, that is said: a person may wait
// or not, a service that is to stop goes without.
func keepRecord(ctx context.Context, folder session.Folder, showed *record.Record, talk io.Writer) {
	if showed != nil {
		keep(showed, string(folder), talk)
		return
	}
	making, giveUp := context.WithCancel(context.WithoutCancel(ctx))
	defer giveUp()
	said := make(chan struct{})
	long := time.AfterFunc(recordAtOnce, func() {
		defer close(said)
		if supervisedByManager() {
			giveUp()
			return
		}
		mayTakeLonger(ctx)
		say(talk, "benchproof: making the record takes a while after a long session; a further Ctrl-C ends it, and report makes it later")
	})
	r, err := report.FromRecording(making, folder)
	if !long.Stop() {
		<-said
	}
	switch {
	case errors.Is(err, context.Canceled):
		say(talk, fmt.Sprintf("benchproof: no record was made, the session is too long for that now; benchproof report %s makes it", string(folder)))
	case err != nil:
		fmt.Fprintln(talk, "benchproof: no record was made:", err)
	default:
		keep(r, string(folder), talk)
	}
}

// recordAtOnce is how long the record may take without a word.
const recordAtOnce = 300 * time.Millisecond

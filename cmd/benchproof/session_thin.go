package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
)

func thinCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "thin FOLDER --before DATE",
		Short: "take away what was heard before a date, to save room; it can't be undone",
		Long: `thin takes what was heard out of the packed parts of a session that end before a
date. What stays in each is what people put in (marks, drills, changes), which
ports there were, and a tombstone: which inputs it had, from when to when, a hash
over them, and how many characters and frames each tap had. The timeline stays. A
part in which something happened stays whole, and so do those within a minute of it:
a loss, a silence, a verdict, a mark, a drill, whatever stands on the screen but a few
missed frames and a computer that read late.

A session that was thinned can't be judged again whole: replay, report and verify
say so. Nothing is thinned unless you ask for it here, and it can't be undone.`,
		Example:           "  benchproof session thin sessions/reedwing-1400/2026-05-02-110000 --before 2026-05-01",
		Args:              takes(1, 1, "the folder of one session"),
		RunE:              thin,
		ValidArgsFunction: folders,
	}
	cmd.Flags().String("before", "", "thin the parts that end before this date; without a zone it is UTC")
	cmd.Flags().Bool("yes", false, "do it without asking")
	return cmd
}

func thin(cmd *cobra.Command, args []string) error {
	text, _ := cmd.Flags().GetString("before")
	before, ok := parseDate(text)
	if !ok {
		return fail(exitUsage, fmt.Errorf("got --before %q, want a date, such as 2026-05-01 or 2026-05-01T12:00:00Z", clip(text, 40)))
	}
	t, err := session.OpenToThin(session.Folder(args[0]))
	if err != nil {
		return fail(thinCode(err), withoutCall(err))
	}
	defer t.Close()
	list, err := toThin(cmd, t, before)
	if err != nil {
		return err
	}
	if yes, _ := cmd.Flags().GetBool("yes"); !yes && !saysYes(cmd, list) {
		return fail(exitUsage, errors.New("nothing was thinned; answer yes, or give --yes, to do it"))
	}
	for _, s := range list {
		if err := t.Thin(cmd.Context(), s); err != nil {
			return fail(thinCode(err), err)
		}
		if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s was thinned\n", s.Name); err != nil {
			return fail(exitDevice, err)
		}
	}
	return nil
}

// toThin are the parts that may be thinned, of those that end before a date; it says how many stay whole.
func toThin(cmd *cobra.Command, t *session.Thinner, before time.Time) ([]recording.Segment, error) {
	list, err := t.Before(cmd.Context(), before.UnixNano())
	if err != nil {
		return nil, fail(thinCode(err), err)
	}
	if len(list) == 0 {
		return nil, fail(exitUsage, fmt.Errorf("no packed part of this session ends before %s: nothing is thinned", before.UTC().Format(time.RFC3339)))
	}
	list, eventful, err := t.Uneventful(list)
	if err != nil {
		return nil, fail(thinCode(err), err)
	}
	if len(eventful) > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "benchproof: parts that stay whole, since something happened in them or within a minute of them: %d\n", len(eventful))
	}
	if len(list) == 0 {
		return nil, fail(exitUsage, errors.New("something happened in or beside each part that ends before then: nothing is thinned"))
	}
	return list, nil
}

// saysYes asks.
func saysYes(cmd *cobra.Command, list []recording.Segment) bool {
	fmt.Fprintf(cmd.ErrOrStderr(), "What was heard is taken out of %d parts, %s to %s, for ever: this session can't be judged again whole then. "+
		"Type yes to do it: ", len(list), list[0].Name, list[len(list)-1].Name)
	answer, _ := bufio.NewReader(cmd.InOrStdin()).ReadString('\n')
	return strings.TrimSpace(answer) == "yes"
}

// thinCode is the exit code for parts that can't be thinned.
func thinCode(err error) int {
	switch {
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, session.ErrBusy), errors.Is(err, recording.ErrDamaged):
		return exitUsage
	}
	return exitDevice
}

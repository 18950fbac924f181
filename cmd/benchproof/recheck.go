package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recheck"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/sheet"
)

func recheckCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "recheck SHEET|SESSION",
		Short: "say what to show again before a flight day, at home",
		Long: `recheck names at most eight things to do at home before a flight day, propeller off and the
drive unable to run: first what a change has made stale, then what was never seen right, then
what was seen right longest ago. What takes the signal or the supply away stands apart: the
failsafe drill has two minutes of waiting in it. What was seen wrong last comes before all.

It goes by the sessions of the model: those below sessions for a sheet, those beside it for the
folder of a session, each as its record has it. What was seen right on this day is not asked
for again, so it may be asked again after each step, also while a session runs. It is no
clearance to fly.`,
		Example:           "  benchproof recheck reedwing.yaml\n  benchproof recheck sessions/reedwing-1400/2026-05-09-100000",
		Args:              takes(1, 1, "a sheet, or the folder of one session"),
		ValidArgsFunction: sheetFiles,
		RunE:              printRecheck,
	}
	return cmd
}

func printRecheck(cmd *cobra.Command, args []string) error {
	s, papers, records, err := soFar(cmd.Context(), args[0])
	if err != nil {
		return err
	}
	year, month, day := time.Now().Date()
	plan := recheck.New(s, records, papers, time.Date(year, month, day, 0, 0, 0, 0, time.Local))
	out := cmd.OutOrStdout()
	_, err = fmt.Fprintf(out, "Re-check of %s, by %s:\n", s.Model, sessionsCounted(records))
	for _, line := range plan.Lines() {
		_, printed := fmt.Fprintln(out, line)
		err = errors.Join(err, printed)
	}
	return fail(exitDevice, err)
}

func sessionsCounted(records []*record.Record) string {
	switch len(records) {
	case 0:
		return "no session: nothing was seen yet"
	case 1:
		return "one session, of " + records[0].Begun.UTC().Format(time.DateOnly)
	}
	return fmt.Sprintf("%d sessions, the latest of %s", len(records), records[0].Begun.UTC().Format(time.DateOnly))
}

// soFar is a model's sheet and papers, and the records of its sessions, the latest first.
func soFar(ctx context.Context, path string) (s *sheet.Sheet, papers []event.Paper, list []*record.Record, err error) {
	if at, err := os.Stat(path); err == nil && at.IsDir() {
		list, err = recordsOf(ctx, path)
		if err != nil {
			return nil, nil, nil, err
		}
		s, err = sheet.Read("the session's sheet", []byte(list[0].Sheet))
		return s, list[0].Papers, list, fail(exitUsage, err)
	}
	if s, _, err = readSheet(path); err != nil {
		return nil, nil, nil, err
	}
	p, err := readPapers(path, s)
	if err != nil {
		return nil, nil, nil, err
	}
	if latest := latestSession(s.Model); latest != "" {
		list, err = recordsOf(ctx, latest)
	}
	return s, p.Entries, list, err
}

// recordsOf is the record of a session and of those before it.
func recordsOf(ctx context.Context, folder string) ([]*record.Record, error) {
	now, err := report.Load(ctx, folder)
	if err != nil {
		return nil, fail(recordCode(err), err)
	}
	before, err := report.KeptBefore(folder, now)
	return append([]*record.Record{now}, before...), fail(exitDevice, err)
}

// latestSession is the folder of the latest session of a model below the sessions, "" for none.
func latestSession(model string) (latest string) {
	folders, _ := filepath.Glob(filepath.Join(sessionsFolder, "*", "*"))
	var newest time.Time
	for _, folder := range folders {
		if of, begun, err := report.Identity(folder); err == nil && of == model && begun.After(newest) {
			latest, newest = folder, begun
		}
	}
	return latest
}

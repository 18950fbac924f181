package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

func papersCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "papers SHEET",
		Short: "show what no wire shows of a model, and change it",
		Long: `papers shows the papers of a model: its receiver and firmware, when it was bound,
learned and levelled, how the receiver lies, and what was looked at by eye, each with a
name and a day. They stand in a file beside its sheet: those of reedwing.yaml in
reedwing.papers.yaml. An entry that something dated later makes out of date is said to
be so.

papers set changes an entry, in the file and in a session of that model that runs: what
depends on it is then to be seen anew. watch takes the file into each session.`,
		Example:           "  benchproof papers reedwing.yaml\n  benchproof papers set reedwing.yaml bound --by Ann",
		Args:              takes(1, 1, "the sheet of a model"),
		ValidArgsFunction: sheetFiles,
		RunE:              showPapers,
	}
	set := &cobra.Command{
		Use:   "set SHEET ENTRY [WORDS]",
		Short: "change an entry",
		Long: `set changes an entry of the papers: one of receiver, firmware, bound, learned, levelled,
mounting and wing, or one that was looked at: directions, throws, linkages and balance.`,
		Example: "  benchproof papers set reedwing.yaml firmware 2.1 --by Ann\n" +
			"  benchproof papers set reedwing.yaml throws \"ailerons 12 mm up, 8 mm down\" --by Ann --date 2026-05-02",
		Args: takes(2, manyArguments, "the sheet of a model, an entry, and what it says"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, so string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return sheetFiles(cmd, args, so)
			}
			list := []cobra.Completion{}
			for _, row := range event.PaperRows() {
				list = append(list, cobra.CompletionWithDesc(row.Name, row.Remark))
			}
			return list, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: setPaper,
	}
	set.Flags().String("by", "", "who says so; required")
	set.Flags().String("date", "", "the day, as 2026-05-02 (default: today)")
	addSession(set)
	cmd.AddCommand(set)
	return cmd
}

// papersPath is where the papers of a sheet's model lie.
func papersPath(sheetPath string) string {
	return strings.TrimSuffix(sheetPath, filepath.Ext(sheetPath)) + ".papers.yaml"
}

// readPapers reads the papers beside a sheet; none where there is no such file.
func readPapers(sheetPath string, s *sheet.Sheet) (*sheet.Papers, error) {
	path := papersPath(sheetPath)
	text, err := files.ReadNamed(path, files.MaxText)
	if errors.Is(err, fs.ErrNotExist) {
		return &sheet.Papers{Model: s.Model}, nil
	}
	if err != nil {
		return nil, fail(exitUsage, fmt.Errorf("the papers can't be read: %w", err))
	}
	p, err := sheet.ReadPapers(path, text)
	switch {
	case err != nil:
		return nil, fail(exitUsage, fmt.Errorf("the papers are not right yet:\n%w", err))
	case p.Model != s.Model:
		return nil, fail(exitUsage, fmt.Errorf("%s are the papers of %q, and the sheet's model is %q", path, p.Model, s.Model))
	}
	return p, nil
}

func showPapers(cmd *cobra.Command, args []string) error {
	s, _, err := readSheet(args[0])
	if err != nil {
		return err
	}
	p, err := readPapers(args[0], s)
	if err != nil {
		return err
	}
	out := cmd.OutOrStdout()
	if len(p.Entries) == 0 {
		_, err = fmt.Fprintf(out, "%s has no papers yet: benchproof papers set %s bound --by NAME begins them\n", p.Model, args[0])
		return fail(exitDevice, err)
	}
	_, err = fmt.Fprintf(out, "The papers of %s:\n", p.Model)
	for _, line := range event.PaperLines(p.Entries) {
		_, printed := fmt.Fprintln(out, "  "+line)
		err = errors.Join(err, printed)
	}
	return fail(exitDevice, err)
}

func setPaper(cmd *cobra.Command, args []string) error {
	s, _, err := readSheet(args[0])
	if err != nil {
		return err
	}
	p, err := readPapers(args[0], s)
	if err != nil {
		return err
	}
	entry := event.Paper{Entry: args[1], Is: strings.Join(args[2:], " ")}
	entry.By, _ = cmd.Flags().GetString("by")
	if entry.Date, _ = cmd.Flags().GetString("date"); entry.Date == "" {
		entry.Date = time.Now().Format(time.DateOnly)
	}
	if err := entry.Check(); err != nil {
		return fail(exitUsage, err)
	}
	p.Entries, _, _ = event.WithPaper(p.Entries, entry)
	if err := files.WriteNamed(papersPath(args[0]), p.Text()); err != nil {
		return fail(exitDevice, fmt.Errorf("the papers can't be written: %w", err))
	}
	return tellSession(cmd, s.Model, &entry)
}

// tellSession puts an entry into the session that runs, if it is of that model.
func tellSession(cmd *cobra.Command, model string, entry *event.Paper) error {
	said := "written: " + entry.Says()
	c, err := reach(cmd)
	if err != nil {
		if cmd.Flags().Changed("session") || !errors.Is(err, client.ErrNobody) {
			return fail(exitUsage, fmt.Errorf("%s; but no session was told: %w", said, err))
		}
		_, err = fmt.Fprintln(cmd.OutOrStdout(), said+"; no session runs")
		return fail(exitDevice, err)
	}
	folder := c.Folder
	c.Close()
	running, err := session.Folder(folder).ReadSheet()
	if err != nil {
		return fail(exitUsage, err)
	}
	if running.Model != model {
		_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s; the session that runs is of another model, %s\n", said, running.Model)
		return fail(exitDevice, err)
	}
	return askDaemon(cmd, said+"; the session that runs knows", func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
		return daemon.Papers(ctx, entry)
	})
}

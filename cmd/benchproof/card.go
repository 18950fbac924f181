package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/card"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/sheet"
)

func cardCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "card SHEET|SESSION",
		Short: "print the field card of a model: one page to take along",
		Long: `card prints one page about a model: which switch position asks for which mode, what each
surface must do when the model is tilted by hand, what is likely behind a thing that it did
in the air and what shows that on the bench, and what happens without a signal. It is made
of the sheet alone, with boxes to tick; of a session's folder, with what was seen right,
seen wrong, or not seen there. -o writes it as one HTML page, which a browser prints on one
page of A4 or letter paper. It is no clearance to fly, and no instruction.`,
		Example: "  benchproof card reedwing.yaml\n" +
			"  benchproof card sessions/reedwing-1400/2026-05-02-110000 -o card.html",
		Args:              takes(1, 1, "a sheet, or the folder of one session"),
		ValidArgsFunction: sheetFiles,
		RunE:              printCard,
	}
	cmd.Flags().StringP("output", "o", "", "write it as a page (HTML) to this file; - is standard output")
	return cmd
}

func printCard(cmd *cobra.Command, args []string) error {
	c, err := cardOf(cmd.Context(), args[0])
	if err != nil {
		return err
	}
	output, _ := cmd.Flags().GetString("output")
	if output == "" {
		for _, line := range c.Lines() {
			_, printed := fmt.Fprintln(cmd.OutOrStdout(), line)
			err = errors.Join(err, printed)
		}
		return fail(exitDevice, err)
	}
	var html bytes.Buffer
	if err := c.WritePage(&html); err != nil {
		return fail(exitFault, err)
	}
	if output == "-" {
		_, err := cmd.OutOrStdout().Write(html.Bytes())
		return fail(exitDevice, err)
	}
	if err := files.WriteNamed(output, html.Bytes()); err != nil {
		return fail(exitDevice, err)
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s: the field card is in %s. %s\n", c.Model, output, card.NotSafe)
	return fail(exitDevice, err)
}

// cardOf is the card of a sheet, or of a session's folder.
func cardOf(ctx context.Context, path string) (*card.Card, error) {
	if at, err := os.Stat(path); err == nil && at.IsDir() {
		r, err := report.Load(ctx, path)
		if err != nil {
			return nil, fail(recordCode(err), err)
		}
		s, err := sheet.Read("the session's sheet", []byte(r.Sheet))
		if err != nil {
			return nil, fail(exitUsage, err)
		}
		return card.New(s, r, r.Papers), nil
	}
	s, _, err := readSheet(path)
	if err != nil {
		return nil, err
	}
	p, err := readPapers(path, s)
	if err != nil {
		return nil, err
	}
	return card.New(s, nil, p.Entries), nil
}

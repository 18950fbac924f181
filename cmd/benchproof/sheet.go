package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
)

func sheetCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "sheet new|verify|explain",
		Short: "make a first set-up sheet, check one, or explain its keys",
		Long: `A set-up sheet is a text file (YAML) that says what each channel of one model is, and
how receiver and stabiliser should behave: what is judged while watch listens. draft
writes one from what it hears while you move the controls; sheet new writes an example
to fill in; sheet verify FILE finds its mistakes, and counts what will be judged
(claims), by kind; sheet explain KEY says what a key means.

Why nothing can be read on a line says another command: benchproof explain PORT.`,
		Example: "  benchproof sheet new > reedwing.yaml\n  benchproof sheet verify reedwing.yaml",
		Args:    takes(0, 0, "new, which writes a first sheet, verify and a file, which checks one, or explain and a key"),
		RunE: func(*cobra.Command, []string) error {
			return fail(exitUsage, errors.New("which? sheet new writes a first sheet, sheet verify FILE checks one, sheet explain KEY says what a key means"))
		},
	}
	cmd.AddCommand(&cobra.Command{
		Use:     "new",
		Short:   "write a commented first sheet to standard output",
		Example: "  benchproof sheet new > reedwing.yaml",
		Args:    takes(0, 0, onlyFlags),
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(sheet.Starter())
			return fail(exitDevice, err)
		},
	}, verifyCommand(), explainCommand())
	return cmd
}

func verifyCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:               "verify FILE",
		Short:             "check a sheet and explain its mistakes",
		Example:           "  benchproof sheet verify reedwing.yaml",
		Args:              takes(1, 1, "the file of one sheet"),
		RunE:              verify,
		ValidArgsFunction: sheetFiles,
	}
	cmd.Flags().Bool("json", false, "print the mistakes as a JSON array, empty for none; doubts go to stderr")
	return cmd
}

func verify(cmd *cobra.Command, args []string) error {
	s, doubts, _, err := readNewSheet(args[0])
	var mistakes sheet.Mistakes
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON && (err == nil || errors.As(err, &mistakes)) {
		if mistakes == nil {
			mistakes = sheet.Mistakes{}
		}
		if err := json.NewEncoder(cmd.OutOrStdout()).Encode(mistakes); err != nil {
			return fail(exitDevice, err)
		}
		for _, d := range doubts {
			fmt.Fprintln(cmd.ErrOrStderr(), "but: "+d.String())
		}
		if len(mistakes) > 0 {
			return fail(exitUsage, errQuiet)
		}
		return nil
	}
	if err != nil {
		return err
	}
	modes := 0
	if s.Stabiliser != nil {
		modes = len(s.Stabiliser.Modes)
	}
	out := cmd.OutOrStdout()
	_, err = fmt.Fprintf(out, "%s is in order: %s, %d channels, %d modes, %d taps\n",
		args[0], s.Model, len(s.Channels), modes, len(s.Taps))
	lines := []string{}
	for _, d := range doubts {
		lines = append(lines, "  but: "+d.String())
	}
	lines = append(lines, follows(s)...)
	for _, line := range lines {
		_, printed := fmt.Fprintln(out, line)
		err = errors.Join(err, printed)
	}
	return fail(exitDevice, err)
}

// follows says what a sheet has tested, the claims by family, and what it leaves
// untested.
func follows(s *sheet.Sheet) []string {
	if s.Listens {
		return []string{"It has no channels: watch shows by it what all channels do, and judges nothing."}
	}
	claims := claim.New(s).Claims()
	counts, families := map[claim.Family]int{}, []claim.Family{}
	for _, c := range claims {
		if counts[c.Family]++; counts[c.Family] == 1 {
			families = append(families, c.Family)
		}
	}
	counted := make([]string, 0, len(families))
	for _, f := range families {
		counted = append(counted, fmt.Sprintf("%s %d", f, counts[f]))
	}
	lines := []string{fmt.Sprintf("It makes %d claims: %s.", len(claims), strings.Join(counted, ", "))}
	for i, u := range s.Untested() {
		if i == 0 {
			lines = append(lines, "It leaves untested:")
		}
		lines = append(lines, "  "+u)
	}
	return lines
}

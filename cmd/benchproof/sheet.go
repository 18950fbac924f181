package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/sheet"
)

func sheetCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "sheet new|verify",
		Short: "make a first set-up sheet, or check one",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return fail(exitUsage, errors.New("which? sheet new writes a first sheet, sheet verify FILE checks one"))
		},
	}
	cmd.AddCommand(&cobra.Command{
		Use:     "new",
		Short:   "write a commented first sheet to standard output",
		Example: "  benchproof sheet new > reedwing.yaml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(sheet.Starter())
			return fail(exitDevice, err)
		},
	}, verifyCommand())
	return cmd
}

func verifyCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "verify FILE",
		Short: "check a sheet and explain its mistakes",
		Args:  cobra.ExactArgs(1),
		RunE:  verify,
	}
	cmd.Flags().Bool("json", false, "print the mistakes as a JSON array, empty for none")
	return cmd
}

func verify(cmd *cobra.Command, args []string) error {
	s, _, err := readSheet(args[0])
	var mistakes sheet.Mistakes
	if asJSON, _ := cmd.Flags().GetBool("json"); asJSON && (err == nil || errors.As(err, &mistakes)) {
		if mistakes == nil {
			mistakes = sheet.Mistakes{}
		}
		if err := json.NewEncoder(cmd.OutOrStdout()).Encode(mistakes); err != nil {
			return fail(exitDevice, err)
		}
		if len(mistakes) > 0 {
			return fail(exitUsage, errors.New(""))
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
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is in order: %s, %d channels, %d modes, %d taps\n",
		args[0], s.Model, len(s.Channels), modes, len(s.Taps))
	for _, c := range s.Consequences() {
		_, printed := fmt.Fprintf(cmd.OutOrStdout(), "  but: %s\n", c)
		err = errors.Join(err, printed)
	}
	return fail(exitDevice, err)
}

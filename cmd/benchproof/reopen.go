package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

func reopenCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "reopen CHANNEL|failsafe|outputs|everything",
		Short: "have a running session see something anew, after a change",
		Long: `reopen says that something was changed on the model or its transmitter: what was
seen right and depends on it is stale from now on, until it is seen again. Name a
channel of the sheet, failsafe, or everything (after a rebind, new firmware,
another servo).`,
		Example:           "  benchproof reopen aileron",
		Args:              takes(1, 1, "one thing that was changed: a channel of the sheet, failsafe, outputs or everything"),
		ValidArgsFunction: firstOf(reopenTopics),
		RunE: func(cmd *cobra.Command, args []string) error {
			said := fmt.Sprintf("what depends on %s is to be seen anew", args[0])
			return askDaemon(cmd, said, func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
				return daemon.Reopen(ctx, args[0])
			})
		},
	}
	addSession(cmd)
	return cmd
}

// checkInput says which inputs of a person make no sense under a sheet. Drill
// steps are judged with all else, so that a replay refuses the same.
func checkInput(s *sheet.Sheet) func(event.InputKind, []byte) error {
	return func(kind event.InputKind, data []byte) error {
		what, topics := string(data), claim.Topics(s)
		if kind != event.InputReopen || slices.Contains(topics, what) {
			return nil
		}
		return fmt.Errorf("got %q to reopen, want one of %s", clip(what, 40), strings.Join(topics, ", "))
	}
}

// clip shortens a line to a number of columns.
func clip(s string, columns int) string {
	r := []rune(s)
	if len(r) <= columns {
		return s
	}
	return strings.TrimRight(string(r[:max(0, columns-1)]), " ") + "…"
}

package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/api/client"
)

func markCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "mark TEXT",
		Short: "write a remark into a running session",
		Long: `mark writes a remark into the timeline of a running session, dated now: what was
done, what was seen by the eye, where a walk for a range check has come to.

With --strike N the mark that is event N of the timeline is struck through: its words
are taken back, and it stays. Words behind it say why.`,
		Example: `  benchproof mark "left aileron goes up with stick left"
  benchproof mark --strike 128 "that was the other aileron"`,
		Args: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("strike") {
				return nil
			}
			return takes(1, manyArguments, "the words of a remark")(cmd, args)
		},
		ValidArgsFunction: firstOf(claimIDs),
		RunE: func(cmd *cobra.Command, args []string) error {
			text := strings.Join(args, " ")
			if seq, _ := cmd.Flags().GetInt64("strike"); cmd.Flags().Changed("strike") {
				return askDaemon(cmd, fmt.Sprintf("struck: the mark that is event %d", seq), func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
					return daemon.Strike(ctx, seq, text)
				})
			}
			return askDaemon(cmd, fmt.Sprintf("marked: %s", text), func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
				return daemon.Mark(ctx, text)
			})
		},
	}
	cmd.Flags().Int64("strike", 0, "strike through the mark that is this event of the timeline, by its number")
	addSession(cmd)
	return cmd
}

func addSession(cmd *cobra.Command) {
	cmd.Flags().String("session", "", "the folder of the session (default: the one below "+sessionsFolder+" that is running)")
	addConfig(cmd)
	completeFlag(cmd, "session", folders)
}

// sessionsFolder is where watch keeps sessions unless set otherwise.
const sessionsFolder = "sessions"

// reach finds the daemon that the flags name, or the only one that runs.
func reach(cmd *cobra.Command) (*client.Client, error) {
	v, err := settings(cmd)
	if err != nil {
		return nil, err
	}
	if folder := v.GetString("session"); folder != "" {
		c, err := client.Dial(folder)
		return c, fail(exitUsage, err)
	}
	c, err := client.Find(sessionsFolder)
	return c, fail(exitUsage, err)
}

// askDaemon has a daemon take one change and says so.
func askDaemon(cmd *cobra.Command, said string, ask func(context.Context, *client.Client) (client.Accepted, error)) error {
	c, err := reach(cmd)
	if err != nil {
		return err
	}
	defer c.Close()
	accepted, err := ask(cmd.Context(), c)
	if err != nil {
		return daemonFault(cmd.Context(), err)
	}
	if !accepted.Recorded {
		return fail(exitDevice, fmt.Errorf("%s: heard, but not recorded; watch says what is wrong with its disk", said))
	}
	_, err = fmt.Fprintln(cmd.OutOrStdout(), said)
	return fail(exitDevice, err)
}

// daemonFault gives what a daemon says its exit code: what was asked for is wrong, or the
// daemon is not well, or nobody waits for it any more.
func daemonFault(ctx context.Context, err error) error {
	var refused *client.Refused
	switch {
	case ctx.Err() != nil:
		return fail(exitInterrupted, errors.New("interrupted before the daemon answered"))
	case errors.As(err, &refused) && refused.Code < http.StatusInternalServerError:
		return fail(exitUsage, err)
	}
	return fail(exitDevice, err)
}

package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/control"
)

func markCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "mark TEXT",
		Short: "write a remark into a running session",
		Long: `mark writes a remark into the timeline of a running session, dated now: what was
done, what was seen by the eye, where a walk for a range check has come to.`,
		Example: `  benchproof mark "left aileron goes up with stick left"`,
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			text := strings.Join(args, " ")
			return request(cmd, control.Request{Do: control.DoMark, Text: text}, fmt.Sprintf("marked: %s", text))
		},
	}
	addSession(cmd)
	return cmd
}

func addSession(cmd *cobra.Command) {
	cmd.Flags().String("session", "", "the folder of the session (default: the one below "+sessionsFolder+" that is running)")
	addConfig(cmd)
}

// sessionsFolder is where watch keeps sessions unless set otherwise.
const sessionsFolder = "sessions"

// reach connects to the daemon that the flags name, or to the only one that runs.
func reach(cmd *cobra.Command) (*control.Conn, error) {
	v, err := settings(cmd)
	if err != nil {
		return nil, err
	}
	if folder := v.GetString("session"); folder != "" {
		c, err := control.Dial(folder)
		return c, fail(exitUsage, err)
	}
	c, err := control.Find(sessionsFolder)
	return c, fail(exitUsage, err)
}

// request has a daemon take one request and says so.
func request(cmd *cobra.Command, r control.Request, said string) error {
	c, err := reach(cmd)
	if err != nil {
		return err
	}
	defer func() { _ = c.Close() }()
	refused, err := c.Ask(r)
	switch {
	case err != nil:
		return fail(exitDevice, err)
	case refused != "":
		return fail(exitUsage, errors.New(refused))
	}
	_, err = fmt.Fprintln(cmd.OutOrStdout(), said)
	return fail(exitDevice, err)
}

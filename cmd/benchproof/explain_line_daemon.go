package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"benchproof.example/decode/linefault"
	"benchproof.example/monitor/api/client"
)

// askListening asks the session that listens to a port what it hears there; false where none
// that is known does. One that is named may only just have begun.
func askListening(cmd *cobra.Command, path string, patience time.Duration) (asked bool, err error) {
	folder, _ := cmd.Flags().GetString("session")
	if folder == "" {
		for _, c := range client.Running(sessionsFolder) {
			defer c.Close()
			if tapOn(cmd.Context(), c, path) != nil {
				return true, explainTap(cmd, c, path, patience)
			}
		}
		return false, nil
	}
	c, err := client.Dial(folder)
	if err != nil {
		return true, fail(exitUsage, err)
	}
	defer c.Close()
	if !comesTrue(cmd.Context(), patience, func() bool { return tapOn(cmd.Context(), c, path) != nil }) {
		return true, fail(exitUsage, fmt.Errorf("the session %s does not listen to %s", folder, path))
	}
	return true, explainTap(cmd, c, path, patience)
}

// comesTrue waits until something is so, and reports whether it came to be.
func comesTrue(ctx context.Context, patience time.Duration, so func() bool) bool {
	const pause = 250 * time.Millisecond
	for waited := time.Duration(0); ; waited += pause {
		switch {
		case so():
			return true
		case waited >= patience || ctx.Err() != nil:
			return false
		}
		rest(ctx, pause)
	}
}

// tapOn is the tap of a session that has a port open, nil for none.
func tapOn(ctx context.Context, c *client.Client, path string) *client.Tap {
	taps, err := c.Taps(ctx)
	if err != nil {
		return nil
	}
	for i := range taps {
		if t := &taps[i]; t.Up && samePort(t.Port.Port, path) {
			return t
		}
	}
	return nil
}

// samePort reports that two names lead to one device.
func samePort(a, b string) bool {
	device := func(name string) string {
		if to, err := filepath.EvalSymlinks(name); err == nil {
			return to
		}
		return name
	}
	return device(a) == device(b)
}

// explainTap says what a session says of the tap on a port. What it does not know yet it may
// know in a moment.
func explainTap(cmd *cobra.Command, c *client.Client, path string, patience time.Duration) error {
	say(cmd.ErrOrStderr(), fmt.Sprintf("benchproof: the session %s listens to %s; asking it", c.Folder, path))
	if try, _ := cmd.Flags().GetBool("try"); try {
		return fail(exitUsage, errors.New("got --try for a port that a session listens to: stop it first"))
	}
	var t *client.Tap
	comesTrue(cmd.Context(), patience, func() bool {
		t = tapOn(cmd.Context(), c, path)
		return !undecided(t)
	})
	return printTap(cmd, t)
}

func printTap(cmd *cobra.Command, t *client.Tap) error {
	out := cmd.OutOrStdout()
	switch {
	case cmd.Context().Err() != nil:
		return fail(exitInterrupted, errQuiet)
	case t == nil:
		return fail(exitDevice, errors.New("that session has just closed it: ask again"))
	case t.Kind != asBus:
		fmt.Fprintf(out, "%s: a capture board's port, not a bus; the session says what it hears there\n", t.Name)
	case t.Live:
		fmt.Fprintf(out, "%s: frames are coming in, this is a healthy bus\n", t.Name)
		return nil
	case t.LineFault != nil:
		f := t.LineFault
		cause, _ := linefault.CauseOf(f.Cause)
		printFault(out, t.Name+": "+f.Sentence, linefault.Finding{Cause: cause, Sure: int(f.Sure)}, f.Evidence, f.Remedy)
	default:
		fmt.Fprintf(out, "%s: no frame comes, and nothing more is known of it yet\n", t.Name)
	}
	return fail(exitWrong, errQuiet)
}

// undecided reports a bus of which nothing is known yet.
func undecided(t *client.Tap) bool {
	return t != nil && t.Kind == asBus && !t.Live && t.LineFault == nil
}

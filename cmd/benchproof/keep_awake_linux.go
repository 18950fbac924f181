package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
)

// keepAwake keeps the computer from going to sleep by itself until ctx is done, and says
// whether it does. systemd's own tool holds the lock while its command runs: a cat that
// ends when our end of its pipe is shut, so that a killed program leaves no lock behind. It
// answers, so the lock is held.
func keepAwake(ctx context.Context, say func(error)) {
	tool, err := exec.LookPath("systemd-inhibit")
	if err != nil {
		say(errors.New("this computer is not kept from sleeping: there is no systemd-inhibit here; see that it does not"))
		return
	}
	if err := holdAwake(ctx, tool, say); ctx.Err() == nil {
		say(fmt.Errorf("this computer is not kept from sleeping, see that it does not: %w", err))
	}
}

// holdAwake returns once the lock is not held any more, or can't be, and says why.
func holdAwake(ctx context.Context, tool string, say func(error)) error {
	cmd := exec.CommandContext(ctx, tool, "--what=sleep:idle", "--mode=block", "--who=benchproof", "--why=a long run on the bench is listened to", "cat")
	killWithChildren(cmd)
	cmd.Env = withoutManager(cmd.Environ())
	var refused bytes.Buffer
	cmd.Stderr = &refused
	in, err := cmd.StdinPipe()
	if err != nil {
		return err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	_, _ = in.Write([]byte{'\n'})
	answer := make([]byte, 1)
	if n, _ := out.Read(answer); n == 1 {
		say(errors.New("this computer is kept from going to sleep by itself; shutting the lid may send it to sleep all the same"))
		_, _ = out.Read(answer) // until it ends
	}
	if err := cmd.Wait(); err != nil {
		return fmt.Errorf("systemd-inhibit: %w %s", err, strings.TrimSpace(refused.String()))
	}
	return errors.New("systemd-inhibit ended")
}

//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// killWithChildren has a command killed with all that it started, when its context is done.
// In a group of its own, it does not get the terminal's Ctrl-C either.
func killWithChildren(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}

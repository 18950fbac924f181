//go:build linux

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"syscall"
)

// Who listens in the guest: not root, but in the group that owns serial ports.
const (
	listener = 1000
	portists = 20 // the group in the guest's /etc/group
)

const (
	sessionFolder = "/home/session"
	journal       = sessionFolder + "/timeline.jsonl"
	talkFile      = "/tmp/talk"
)

// listen starts the program under test on a port. What it says goes to talkFile.
func listen(port string) (*exec.Cmd, error) {
	if err := errors.Join(os.MkdirAll("/home", 0o755), os.Chown("/home", listener, listener)); err != nil {
		return nil, fmt.Errorf("make a place for the session: %w", err)
	}
	talk, err := os.Create(talkFile)
	if err != nil {
		return nil, fmt.Errorf("keep what the program says: %w", err)
	}
	defer func() { _ = talk.Close() }()
	cmd := exec.Command("/bin/benchproof", "watch", "--sheet", "/etc/sheet.yaml", "--bus", port, "--session", sessionFolder)
	cmd.Dir, cmd.Stdout, cmd.Stderr = "/home", talk, talk
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: listener, Gid: listener, Groups: []uint32{portists}}}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("start the program: %w", err)
	}
	return cmd, nil
}

// happened is how many events of a kind the session's timeline has.
func happened(kind string) int {
	text, _ := os.ReadFile(journal)
	n := 0
	for line := range bytes.Lines(text) {
		var event struct {
			Kind string `json:"kind"`
		}
		if json.Unmarshal(line, &event) == nil && event.Kind == kind {
			n++
		}
	}
	return n
}

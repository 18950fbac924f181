//go:build linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"

	"golang.org/x/sys/unix"
)

// mounts are the file systems that programs expect.
var mounts = []struct{ kind, at string }{
	{"proc", "/proc"}, {"sysfs", "/sys"}, {"devtmpfs", "/dev"}, {"tmpfs", "/run"}, {"tmpfs", "/tmp"},
}

// furnish makes a system of the bare kernel: file systems, drivers, and the daemon
// that names devices.
func furnish() error {
	for _, m := range mounts {
		if err := os.MkdirAll(m.at, 0o755); err != nil {
			return fmt.Errorf("furnish: %w", err)
		}
		if err := unix.Mount(m.kind, m.at, m.kind, 0, ""); err != nil {
			return fmt.Errorf("mount %s: %w", m.at, err)
		}
	}
	order, err := os.ReadFile("/modules/order")
	if err != nil {
		return fmt.Errorf("furnish: %w", err)
	}
	for _, name := range strings.Fields(string(order)) {
		if err := load("/modules/" + name); err != nil {
			return err
		}
	}
	if out, err := exec.Command("/lib/systemd/systemd-udevd", "--daemon").CombinedOutput(); err != nil {
		return fmt.Errorf("start the daemon that names devices: %w: %s", err, out)
	}
	return nil
}

func load(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("load a driver: %w", err)
	}
	defer func() { _ = f.Close() }()
	if err := unix.FinitModule(int(f.Fd()), "", 0); err != nil {
		return fmt.Errorf("load %s: %w", path, err)
	}
	return nil
}

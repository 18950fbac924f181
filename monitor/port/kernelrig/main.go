//go:build linux

// Command kernelrig is the first program of a small guest with the kernel's own
// USB-serial driver. It plugs an adapter into the kernel that it emulates itself
// (USB/IP, over a pair of sockets), so that every status byte, every border of a
// packet and every unplugging is its own to choose; it lets the program under test
// listen to it and reports to the host what came of it. The host's side is a test
// (make kernel).
package main

import (
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// reportPort is the guest's second serial port; the first is the kernel's console.
const reportPort = "/dev/ttyS1"

func main() {
	if os.Getpid() != 1 {
		fmt.Fprintln(os.Stderr, "kernelrig is the first program of a guest: start it with make kernel")
		os.Exit(2)
	}
	if err := sit(); err != nil {
		fmt.Println("kernelrig:", err)
	}
	unix.Sync()
	_ = unix.Reboot(unix.LINUX_REBOOT_CMD_POWER_OFF)
}

func sit() error {
	if err := furnish(); err != nil {
		return err
	}
	out, err := os.OpenFile(reportPort, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("open the report: %w", err)
	}
	r := &report{out}
	if err := play(r); err != nil {
		r.write("failed", err.Error())
	}
	r.write("end", nil)
	return out.Close()
}

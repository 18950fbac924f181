//go:build linux

package main

import (
	"fmt"
	"net"
	"os"

	"golang.org/x/sys/unix"
)

// hostController is where the kernel takes USB/IP streams.
const hostController = "/sys/devices/platform/vhci_hcd.0/attach"

const fullSpeed = 2

// plug puts a new adapter into a socket of the kernel's own emulated hub.
func plug(serial string, socket int) (*adapter, error) {
	pair, err := unix.Socketpair(unix.AF_UNIX, unix.SOCK_STREAM|unix.SOCK_CLOEXEC, 0)
	if err != nil {
		return nil, fmt.Errorf("make a stream for %s: %w", serial, err)
	}
	// The kernel keeps its end itself.
	defer func() { _ = unix.Close(pair[1]) }()
	file := os.NewFile(uintptr(pair[0]), serial)
	conn, err := net.FileConn(file)
	_ = file.Close()
	if err != nil {
		return nil, fmt.Errorf("make a stream for %s: %w", serial, err)
	}
	a := &adapter{serial: serial, conn: conn}
	go func() { _ = a.serve() }()
	device := 1<<16 | socket + 2
	order := fmt.Sprintf("%d %d %d %d", socket, pair[1], device, fullSpeed)
	if err := os.WriteFile(hostController, []byte(order), 0); err != nil {
		_ = conn.Close()
		return nil, fmt.Errorf("plug in %s: %w", serial, err)
	}
	return a, nil
}

// unplug pulls the adapter out.
func (a *adapter) unplug() error { return a.conn.Close() }

package tap

import (
	"fmt"
	"io"
	"os"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"
)

// openPort opens a port for reading. The library opens it too, sets the line and
// claims it, but is not read from: a goroutine blocked in its select costs
// several times the context switches of one on the runtime's own poller. Our
// handle comes first, since the claim shuts out later ones.
func openPort(path string) (io.ReadCloser, error) {
	fd, err := unix.Open(path, unix.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: path, Err: err}
	}
	ours := os.NewFile(uintptr(fd), path)
	mode := busMode
	claim, err := serial.Open(path, &mode)
	if err != nil {
		_ = ours.Close()
		return nil, fmt.Errorf("set the line of %s: %w", path, err)
	}
	return &linuxPort{ours, claim}, nil
}

type linuxPort struct {
	*os.File
	claim serial.Port
}

// Close wakes the reader before the claim is given up.
func (p *linuxPort) Close() error {
	err := p.File.Close()
	_ = p.claim.Close()
	return err
}

package port

import (
	"errors"
	"fmt"
	"unsafe"

	"golang.org/x/sys/unix"

	"benchproof.example/decode/uart"
)

// terminal is how Linux has a port set.
type terminal struct {
	line   unix.Termios
	driver *serialSettings // nil: the driver has none
}

// readTerminal opens a port for as long as it takes to read how it is set, and stops no echo:
// what it would echo of one moment is nothing.
func readTerminal(path string) (*terminal, error) {
	fd, err := openTerminal(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = unix.Close(fd) }()
	line, err := unix.IoctlGetTermios(fd, unix.TCGETS2)
	if err != nil {
		return nil, err
	}
	t := &terminal{line: *line}
	var driver serialSettings
	if ioctl(fd, unix.TIOCGSERIAL, unsafe.Pointer(&driver)) == nil {
		t.driver = &driver
	}
	return t, nil
}

func (t *terminal) write(path string) error {
	fd, err := openTerminal(path)
	if err != nil {
		return fmt.Errorf("set %s as it was found: %w", path, err)
	}
	var refused error
	if t.driver != nil {
		refused = ioctl(fd, unix.TIOCSSERIAL, unsafe.Pointer(t.driver))
	}
	refused = errors.Join(refused, unix.IoctlSetTermios(fd, unix.TCSETS2, &t.line), unix.Close(fd))
	if refused != nil {
		return fmt.Errorf("set %s as it was found: %w", path, refused)
	}
	return nil
}

func openTerminal(path string) (int, error) {
	if err := checkDevice(path); err != nil {
		return -1, err
	}
	return unix.Open(path, unix.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
}

// format is the line's, in the short form's terms.
func (t *terminal) format() uart.Format {
	f := uart.Format{Baud: int64(t.line.Ispeed), Data: 5, Stop: 1}
	f.Data += int(t.line.Cflag & unix.CSIZE >> 4) // CS5 to CS8 follow each other
	if t.line.Cflag&unix.CSTOPB != 0 {
		f.Stop = 2
	}
	switch {
	case t.line.Cflag&unix.PARENB == 0:
	case t.line.Cflag&unix.PARODD != 0:
		f.Parity = uart.Odd
	default:
		f.Parity = uart.Even
	}
	return f
}

//go:build linux || darwin

package world

import (
	"errors"
	"fmt"
	"os"
	"syscall"
	"unsafe"

	"github.com/creack/pty"
)

// openRaw opens a pseudo-terminal that hands on every byte as it is, and says
// where its far side is. We leave that side closed, so that we can see whether
// a listener has it open; on Linux the raw mode stays nonetheless, elsewhere a
// listener sets its own.
func openRaw() (*os.File, string, error) {
	master, far, err := pty.Open()
	if err != nil {
		return nil, "", fmt.Errorf("%w: %w", ErrNoPTY, err)
	}
	path := far.Name()
	if err := errors.Join(makeRaw(far), far.Close(), unblock(master)); err != nil {
		return nil, "", errors.Join(fmt.Errorf("setting up %s: %w", path, err), master.Close())
	}
	return master, path, nil
}

// makeRaw switches off echo, line editing, signals and every translation.
func makeRaw(terminal *os.File) error {
	return withFD(terminal, func(fd uintptr) error {
		var t syscall.Termios
		if err := ioctl(fd, getTermios, &t); err != nil {
			return fmt.Errorf("reading the mode: %w", err)
		}
		t.Iflag &^= syscall.IGNBRK | syscall.BRKINT | syscall.PARMRK | syscall.INPCK | syscall.ISTRIP |
			syscall.INLCR | syscall.IGNCR | syscall.ICRNL | syscall.IXON | syscall.IXOFF
		t.Oflag &^= syscall.OPOST
		t.Lflag &^= syscall.ECHO | syscall.ECHONL | syscall.ICANON | syscall.ISIG | syscall.IEXTEN
		t.Cflag &^= syscall.CSIZE | syscall.PARENB
		t.Cflag |= syscall.CS8
		t.Cc[syscall.VMIN], t.Cc[syscall.VTIME] = 1, 0
		if err := ioctl(fd, setTermios, &t); err != nil {
			return fmt.Errorf("setting raw mode: %w", err)
		}
		return nil
	})
}

func ioctl(fd, request uintptr, t *syscall.Termios) error {
	if _, _, errno := syscall.Syscall(syscall.SYS_IOCTL, fd, request, uintptr(unsafe.Pointer(t))); errno != 0 {
		return errno
	}
	return nil
}

func unblock(f *os.File) error {
	return withFD(f, func(fd uintptr) error { return syscall.SetNonblock(int(fd), true) })
}

// withFD lends the descriptor without taking the file from the runtime's poller.
func withFD(f *os.File, do func(fd uintptr) error) error {
	raw, err := f.SyscallConn()
	if err != nil {
		return err
	}
	var done error
	if err := raw.Control(func(fd uintptr) { done = do(fd) }); err != nil {
		return err
	}
	return done
}

// offer writes once, without waiting. What the terminal does not take is lost.
func offer(master *os.File, data []byte) (taken int, err error) {
	err = withFD(master, func(fd uintptr) error {
		if !hasListener(int(fd)) {
			return nil
		}
		n, err := syscall.Write(int(fd), data)
		taken = max(0, n)
		if errors.Is(err, syscall.EAGAIN) || errors.Is(err, syscall.EIO) {
			return nil
		}
		return err
	})
	return taken, err
}

// hasListener says whether anybody has the far side open. A read from the near
// side shows: it finds nothing yet, or nobody (EIO on Linux, the end elsewhere).
// What a listener wrote is thrown away, as a receiver would not hear it.
func hasListener(fd int) bool {
	var said [256]byte
	n, err := syscall.Read(fd, said[:])
	return n > 0 || errors.Is(err, syscall.EAGAIN)
}

package port

import (
	"errors"
	"fmt"
	"io"
	"os"
	"unsafe"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
)

// openPort opens a port for reading. The library opens it too, sets the line and
// claims it, but is not read from: a goroutine blocked in its select costs
// several times the context switches of one on the runtime's own poller. Our
// handle comes first, since the claim shuts out later ones; what the library
// does not set is set through it afterwards.
func openPort(path string, settings uart.Format) (line, error) {
	if err := checkDevice(path); err != nil {
		return nil, err
	}
	if by := takers(path); len(by) > 0 {
		return nil, &HeldError{Path: path, By: by}
	}
	fd, err := unix.Open(path, unix.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: path, Err: err}
	}
	p := &linuxPort{file: os.NewFile(uintptr(fd), path), settings: settings}
	if !lockDevice(p.file) {
		err := p.Close()
		return nil, errors.Join(&HeldError{Path: path, By: holdersOf(path)}, err)
	}
	if stopEcho(fd) != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", path, errNoTerminal), p.Close())
	}
	if p.claim, err = openBesideChildren(path, mode(settings)); err != nil {
		return nil, errors.Join(fmt.Errorf("set the line of %s: %w", path, err), p.Close())
	}
	p.visible, p.pseudo = markErrors(fd) == nil, isPseudo(fd)
	_ = lowLatency(fd) // what came of it is reported
	p.latency = latencyOf("/sys", path)
	return p, nil
}

// takers are who else reads a port that we could open. They are looked for before:
// an opened terminal must be set up without delay.
func takers(path string) []Holder {
	if unix.Access(path, unix.R_OK) != nil {
		return nil
	}
	return othersWith(path)
}

type linuxPort struct {
	file    *os.File
	claim   serial.Port // nil until it is ours
	visible bool        // characters with errors come marked
	pseudo  bool        // there is no line behind it
	latency string

	settings uart.Format
}

// read waits on the runtime's poller. The reads themselves are raw: they never
// wait, and a system call that the runtime hears of wakes its monitor thread each
// time, which costs as much as all the rest.
func (p *linuxPort) read(take func([]byte)) error {
	raw, err := p.file.SyscallConn()
	if err != nil {
		return err
	}
	buf := make([]byte, readSize)
	failed := io.EOF
	err = raw.Read(func(fd uintptr) (ended bool) {
		for {
			n, _, errno := unix.RawSyscall(unix.SYS_READ, fd, uintptr(unsafe.Pointer(&buf[0])), uintptr(len(buf)))
			switch {
			case errno == unix.EAGAIN:
				return false
			case errno == unix.EINTR:
			case errno != 0:
				failed = &os.PathError{Op: "read", Path: p.file.Name(), Err: errno}
				return true
			case n == 0:
				return true
			default:
				take(buf[:n])
			}
		}
	})
	if err != nil {
		return err
	}
	return failed
}

func (p *linuxPort) port() event.Port {
	f := event.Port{Settings: settingsText(p.settings), Latency: p.latency}
	if p.settings.Parity != uart.None && !p.visible {
		f.Errors = driverHidesErrors
		if p.pseudo {
			f.Errors = pseudoTerminal
		}
	}
	return f
}

// Why a character with a parity or framing error looks like any other.
const (
	pseudoTerminal    = "a pseudo-terminal carries no parity"
	driverHidesErrors = "this port's driver does not report parity errors"
)

func (p *linuxPort) marked() bool { return p.visible }

func (p *linuxPort) counters() (c Counters, ok bool) {
	raw, err := p.file.SyscallConn()
	if err != nil {
		return Counters{}, false
	}
	err = raw.Control(func(fd uintptr) { c, ok = driverCounters(int(fd)) })
	return c, ok && err == nil
}

// Close wakes the reader before the claim is given up.
func (p *linuxPort) Close() error {
	err := p.file.Close()
	if p.claim != nil {
		_ = p.claim.Close()
	}
	return err
}

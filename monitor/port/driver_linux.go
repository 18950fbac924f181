package port

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"unsafe"

	"golang.org/x/sys/unix"
)

// stopEcho stops a terminal from echoing what it hears, which it does from the moment
// it is opened: nothing is to be written to a port.
func stopEcho(fd int) error {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS2)
	if err != nil {
		return err
	}
	t.Lflag &^= unix.ECHO | unix.ECHONL | unix.ICANON | unix.ISIG | unix.IEXTEN
	t.Oflag &^= unix.OPOST
	return unix.IoctlSetTermios(fd, unix.TCSETS2, t)
}

var errNoParity = errors.New("the terminal carries no parity")

// markErrors has characters with errors marked. Left alone, with parity checking
// on and marking off, one error turns every character of a USB packet into a
// silent 0x00. A pseudo-terminal clears parity: there is nothing to mark.
func markErrors(fd int) error {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS2)
	if err != nil {
		return err
	}
	if t.Cflag&unix.PARENB == 0 {
		return errNoParity
	}
	return setMarks(fd, t)
}

// isPseudo reports whether a terminal is the far end of a pseudo-terminal: eight major
// numbers are set apart for these (devices.txt of the kernel).
func isPseudo(fd int) bool {
	const first, last = 136, 143
	var s unix.Stat_t
	if err := unix.Fstat(fd, &s); err != nil {
		return false
	}
	major := unix.Major(s.Rdev)
	return major >= first && major <= last
}

func setMarks(fd int, t *unix.Termios) error {
	t.Iflag |= unix.INPCK | unix.PARMRK
	t.Iflag &^= unix.IGNPAR | unix.ISTRIP | unix.IGNBRK | unix.BRKINT
	return unix.IoctlSetTermios(fd, unix.TCSETS2, t)
}

// serialCounters is struct serial_icounter_struct of linux/serial.h.
type serialCounters struct {
	cts, dsr, rng, dcd, rx, tx, frame, overrun, parity, brk, bufOverrun int32
	_                                                                   [9]int32
}

func driverCounters(fd int) (Counters, bool) {
	var c serialCounters
	if ioctl(fd, unix.TIOCGICOUNT, unsafe.Pointer(&c)) != nil {
		return Counters{}, false
	}
	count := func(v int32) int64 { return int64(uint32(v)) }
	return Counters{
		Received: count(c.rx), Parity: count(c.parity), Framing: count(c.frame), Breaks: count(c.brk),
		Overruns: count(c.overrun), BufferOverruns: count(c.bufOverrun),
	}, true
}

// serialSettings is struct serial_struct of linux/serial.h.
type serialSettings struct {
	kind, line                int32
	port                      uint32
	irq                       int32
	flags                     int32
	fifo, divisor, base       int32
	closeDelay                uint16
	io                        uint8
	_                         uint8
	hub6                      int32
	closingWait, closingWait2 uint16
	memory                    uintptr
	shift                     uint16
	portHigh                  uint32
	mapBase                   uintptr
}

const asyncLowLatency = 1 << 13 // ASYNC_LOW_LATENCY of linux/tty_flags.h

// lowLatency asks the driver to hand over what it has at once. A USB adapter
// otherwise clumps up to 16 ms.
func lowLatency(fd int) error {
	var s serialSettings
	if err := ioctl(fd, unix.TIOCGSERIAL, unsafe.Pointer(&s)); err != nil {
		return err
	}
	if s.flags&asyncLowLatency != 0 {
		return nil
	}
	s.flags |= asyncLowLatency
	return ioctl(fd, unix.TIOCSSERIAL, unsafe.Pointer(&s))
}

func ioctl(fd int, request uintptr, into unsafe.Pointer) error {
	if _, _, errno := unix.Syscall(unix.SYS_IOCTL, uintptr(fd), request, uintptr(into)); errno != 0 {
		return errno
	}
	return nil
}

// latencyOf is how long an adapter may sit on characters, e.g. "1 ms", or
// "unknown".
func latencyOf(sys, path string) string {
	device, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "unknown"
	}
	ms, err := os.ReadFile(filepath.Join(sys, "class/tty", filepath.Base(device), "device/latency_timer"))
	if err != nil {
		return "unknown"
	}
	return strings.TrimSpace(string(ms)) + " ms"
}

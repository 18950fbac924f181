package world

import (
	"os"
	"syscall"
	"unsafe"

	"benchproof.example/decode/uart"
)

// getRates is TCGETS2 of asm-generic/ioctls.h, as amd64, arm and arm64 have it: a mode with its
// rates as numbers.
const getRates = 0x802C542A

// rated is struct termios2 of asm-generic/termbits.h.
type rated struct {
	input, output, control, local uint32
	line                          uint8
	cc                            [19]uint8
	inputRate, outputRate         uint32
}

// listenersFormat is how the far side is set. A pseudo-terminal forgets that parity was asked
// for, but not which, nor that it is to be checked.
func listenersFormat(master *os.File) (f uart.Format, ok bool) {
	err := withFD(master, func(fd uintptr) error {
		var t rated
		if _, _, errno := syscall.Syscall(syscall.SYS_IOCTL, fd, getRates, uintptr(unsafe.Pointer(&t))); errno != 0 {
			return errno
		}
		f = uart.Format{Baud: int64(t.inputRate), Data: 8, Stop: 1}
		if t.control&syscall.CSTOPB != 0 {
			f.Stop = 2
		}
		switch {
		case t.input&syscall.INPCK == 0:
		case t.control&syscall.PARODD != 0:
			f.Parity = uart.Odd
		default:
			f.Parity = uart.Even
		}
		return nil
	})
	return f, err == nil && f.Baud > 0
}

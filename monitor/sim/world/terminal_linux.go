package world

import (
	"os"

	"golang.org/x/sys/unix"

	"benchproof.example/decode/uart"
)

// listenersFormat is how the far side is set. A pseudo-terminal forgets that parity was asked
// for, but not which, nor that it is to be checked.
func listenersFormat(master *os.File) (f uart.Format, ok bool) {
	err := withFD(master, func(fd uintptr) error {
		t, err := unix.IoctlGetTermios(int(fd), unix.TCGETS2)
		if err != nil {
			return err
		}
		f = uart.Format{Baud: int64(t.Ispeed), Data: 8, Stop: 1}
		if t.Cflag&unix.CSTOPB != 0 {
			f.Stop = 2
		}
		switch {
		case t.Iflag&unix.INPCK == 0:
		case t.Cflag&unix.PARODD != 0:
			f.Parity = uart.Odd
		default:
			f.Parity = uart.Even
		}
		return nil
	})
	return f, err == nil && f.Baud > 0
}

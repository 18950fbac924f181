package port

import (
	"fmt"

	"go.bug.st/serial"
)

// Settings are those of a serial line of eight data bits.
type Settings struct {
	Baud   int
	Parity bool // even, and two stop bits; else none, and one
}

// BusSettings is how a servo bus is read (common practice): the inversion is the
// adapter's work.
var BusSettings = Settings{Baud: 100_000, Parity: true}

// BoardSettings is how a capture board on the servo leads is read, unless it is set to be
// otherwise. Its lines carry sums, so that errors of single characters need not be
// seen.
var BoardSettings = Settings{Baud: 500_000}

func (s Settings) mode() *serial.Mode {
	if s.Parity {
		return &serial.Mode{BaudRate: s.Baud, DataBits: 8, Parity: serial.EvenParity, StopBits: serial.TwoStopBits}
	}
	return &serial.Mode{BaudRate: s.Baud, DataBits: 8, Parity: serial.NoParity, StopBits: serial.OneStopBit}
}

// String is the usual short form: "100000 8E2".
func (s Settings) String() string {
	if s.Parity {
		return fmt.Sprintf("%d 8E2", s.Baud)
	}
	return fmt.Sprintf("%d 8N1", s.Baud)
}

package port

import (
	"go.bug.st/serial"

	"benchproof.example/decode/uart"
)

// BoardSettings is how a capture board on the servo leads is read, unless it is set to be
// otherwise. Its lines carry sums, so that errors of single characters need not be
// seen.
var BoardSettings = uart.Format{Baud: 500_000, Data: 8, Stop: 1}

// mode is how a port is set for a line: an inversion is the adapter's work.
func mode(line uart.Format) *serial.Mode {
	m := &serial.Mode{BaudRate: int(line.Baud), DataBits: line.Data}
	switch line.Parity {
	case uart.Even:
		m.Parity = serial.EvenParity
	case uart.Odd:
		m.Parity = serial.OddParity
	}
	if line.Stop == 2 {
		m.StopBits = serial.TwoStopBits
	}
	return m
}

// settingsText is the usual short form, such as "100000 8E2", as the port sees the line.
func settingsText(line uart.Format) string {
	line.Inverted = false
	return line.String()
}

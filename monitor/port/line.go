package port

import (
	"io"

	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
)

// readSize is more than a driver holds.
const readSize = 4096

// line is an opened port.
type line interface {
	// read hands over what comes, lent for the call, until the port fails or is
	// closed.
	read(take func([]byte)) error
	io.Closer                   // at any time, once; it ends hear
	port() event.Port           // how it is set, as far as known; without its name
	marked() bool               // reads are a stream for marks
	counters() (Counters, bool) // of the driver, since it was loaded; false: it has none
}

// stream is a line of which nothing is known but its bytes.
type stream struct {
	io.ReadCloser
	settings uart.Format
}

func (s stream) read(take func([]byte)) error {
	buf := make([]byte, readSize)
	for {
		n, err := s.Read(buf)
		if n > 0 {
			take(buf[:n])
		}
		if err != nil {
			return err
		}
	}
}

func (s stream) port() event.Port         { return event.Port{Settings: settingsText(s.settings)} }
func (stream) marked() bool               { return false }
func (stream) counters() (Counters, bool) { return Counters{}, false }

//go:build !linux

package port

import (
	"errors"

	"benchproof.example/decode/uart"
)

// terminal is how a port is set, which this system does not say.
type terminal struct{}

func readTerminal(string) (*terminal, error) {
	return nil, errors.New("this system does not say how a port is set")
}

func (*terminal) write(string) error  { return nil }
func (*terminal) format() uart.Format { return uart.Format{} }

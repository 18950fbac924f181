//go:build !linux

package tap

import (
	"fmt"
	"io"

	"go.bug.st/serial"
)

// openPort opens a port for reading. Errors of parity and framing are not
// visible on this system.
func openPort(path string) (io.ReadCloser, error) {
	mode := busMode
	p, err := serial.Open(path, &mode)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	return portReader{p}, nil
}

// portReader makes the library's end of a port an end of file: it returns no
// bytes and no error once the port is closed.
type portReader struct{ serial.Port }

func (p portReader) Read(buf []byte) (int, error) {
	n, err := p.Port.Read(buf)
	if n == 0 && err == nil {
		err = io.EOF
	}
	return n, err
}

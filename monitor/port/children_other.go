//go:build !unix

package port

import "go.bug.st/serial"

// openBesideChildren opens a port by the library; here programs that this one starts get none
// of what is open.
func openBesideChildren(path string, mode *serial.Mode) (serial.Port, error) {
	return serial.Open(path, mode)
}

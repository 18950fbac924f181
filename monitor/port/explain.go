package port

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"go.bug.st/serial"
)

// Holder is a program that has a port open.
type Holder struct {
	PID     int    `json:"pid"`
	Program string `json:"program,omitempty"` // its short name, where it can be seen
}

func (h Holder) String() string {
	switch {
	case h.PID == os.Getpid():
		return "this very benchproof"
	case h.PID == 0:
		return "another benchproof"
	case h.Program == "":
		return fmt.Sprintf("process %d", h.PID)
	}
	return fmt.Sprintf("%s (process %d)", h.Program, h.PID)
}

// HeldError says that somebody else reads a port, so that we would take
// characters away from each other.
type HeldError struct {
	Path string
	By   []Holder // none: somebody who can't be seen
}

func (e *HeldError) Error() string {
	return fmt.Sprintf("%s is held by %s", e.Path, holders(e.By))
}

func holders(list []Holder) string {
	if len(list) == 0 {
		return "another program"
	}
	names := make([]string, len(list))
	for i, h := range list {
		names[i] = h.String()
	}
	return strings.Join(names, " and ")
}

// Explain says in a sentence why a port could not be opened, and what to do.
func Explain(path string, err error) string {
	var trouble *serial.PortError
	code := serial.PortErrorCode(-1)
	if errors.As(err, &trouble) {
		code = trouble.Code()
	}
	var held *HeldError
	switch {
	case errors.As(err, &held):
		return busy(path, held.By)
	case isBusy(err):
		return busy(path, holdersOf(path))
	case isMissing(err):
		return fmt.Sprintf("there is no port %s: plug the adapter in, and it is opened by itself, or name another port (benchproof ports lists them)", path)
	case isRefused(err):
		return fmt.Sprintf("you may not open %s: %s; never run as root", path, admission(path))
	case code == serial.InvalidSerialPort || errors.Is(err, errNoTerminal):
		return fmt.Sprintf("%s is not a serial port: name the adapter's port instead (benchproof ports lists them)", path)
	}
	return fmt.Sprintf("%s could not be opened (%v): check the adapter and its cable; it is tried again by itself", path, err)
}

var errNoTerminal = errors.New("not a terminal")

func busy(path string, by []Holder) string {
	if len(by) == 1 && by[0].PID == os.Getpid() {
		return fmt.Sprintf("%s is listened to already, under another name or tap: name each port once", path)
	}
	verb, what := "holds", "that program"
	if len(by) > 1 {
		verb, what = "hold", "those programs"
	}
	return fmt.Sprintf("%s %s %s: close %s, and the port is opened by itself", holders(by), verb, path, what)
}

//go:build !linux && !windows && !(darwin && cgo)

package port

import (
	"fmt"
	"slices"

	"go.bug.st/serial"
)

// List is the serial ports, by name. More can't be known here without a C
// compiler.
func List() ([]Info, error) {
	names, err := serial.GetPortsList()
	if err != nil {
		return nil, fmt.Errorf("list the serial ports: %w", err)
	}
	slices.Sort(names)
	ports := make([]Info, 0, len(names))
	for _, n := range names {
		ports = append(ports, Info{Port: n, Device: n, HeldBy: []Holder{}, Latency: "unknown", Trouble: []string{}})
	}
	return ports, nil
}

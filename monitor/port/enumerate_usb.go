//go:build windows || (darwin && cgo)

package port

import (
	"fmt"
	"slices"
	"strings"

	"go.bug.st/serial/enumerator"
)

// List is the serial ports, by name. Who holds one can't be seen here.
func List() ([]Info, error) {
	found, err := enumerator.GetDetailedPortsList()
	if err != nil {
		return nil, fmt.Errorf("list the serial ports: %w", err)
	}
	ports := make([]Info, 0, len(found))
	for _, f := range found {
		l := Info{Port: f.Name, Device: f.Name, HeldBy: []Holder{}, Latency: "unknown", Trouble: []string{}}
		if f.IsUSB {
			l.USB = strings.ToLower(f.VID + ":" + f.PID)
			l.Product, l.Serial = f.Product, f.SerialNumber
		}
		ports = append(ports, l)
	}
	slices.SortFunc(ports, func(a, b Info) int { return strings.Compare(a.Device, b.Device) })
	return ports, nil
}

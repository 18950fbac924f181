package port

import (
	"fmt"
	"slices"
	"strings"
)

// What the builder reads of characters that were lost or bad.
const (
	charactersLost = "it lost %d characters since the system started: close what else keeps this computer busy, or use " +
		"another adapter"
	charactersBad = "it saw %d characters with errors since the system started: check the inverter, ground and baud rate"
)

// Info is a serial port of this computer, seen without opening it. What can't be
// reported is left out.
type Info struct {
	Port     string    `json:"port"`               // the name to give: the stable one where there is one
	Device   string    `json:"device"`             // what the name leads to now
	Driver   string    `json:"driver,omitempty"`   // of the system
	USB      string    `json:"usb,omitempty"`      // vendor and product number, in hex, "0a1b:2c3d"
	Product  string    `json:"product,omitempty"`  // what the adapter calls itself
	Serial   string    `json:"serial,omitempty"`   // its serial number
	HeldBy   []Holder  `json:"held_by"`            // who has it open, as far as visible; never null
	MayOpen  *bool     `json:"may_open,omitempty"` // whether we may read and write it
	Latency  string    `json:"latency"`            // e.g. "16 ms"; "unknown"
	Counters *Counters `json:"counters,omitempty"` // the driver's, where it shows them to who has not opened the port
	Trouble  []string  `json:"trouble"`            // what is wrong and what to do about it; never null
}

// judge fills in what is wrong with the port.
func (l *Info) judge() {
	l.Trouble = []string{}
	if l.MayOpen != nil && !*l.MayOpen {
		l.Trouble = append(l.Trouble, fmt.Sprintf("you may not open it: %s; never run as root", admission(l.Device)))
	}
	switch {
	case slices.ContainsFunc(l.HeldBy, func(h Holder) bool { return strings.HasPrefix(h.Program, "benchproof") }):
		l.Trouble = append(l.Trouble, "a benchproof listens to it: that one tells what it hears")
	case len(l.HeldBy) > 0:
		l.Trouble = append(l.Trouble, "held by "+holders(l.HeldBy)+": close what you don't need there")
	}
	if l.Counters == nil {
		return
	}
	if n := l.Counters.lost(); n > 0 {
		l.Trouble = append(l.Trouble, fmt.Sprintf(charactersLost, n))
	}
	if n := l.Counters.Parity + l.Counters.Framing; n > 0 {
		l.Trouble = append(l.Trouble, fmt.Sprintf(charactersBad, n))
	}
}

package port

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// What the builder reads of characters that were lost or bad.
const (
	charactersLost = "it lost %d characters since the system started: close what else keeps this computer busy, or use " +
		"another adapter"
	charactersBad = "it saw %d characters with errors since the system started: check the inverter, ground and baud rate"
	triedOut      = "the system marks it as perhaps a modem (%s), and a program that tries out modems writes to it when it is " +
		"plugged in: stop that program, or have it pass the port over by a udev rule: SUBSYSTEM==\"tty\", " +
		"ATTRS{idVendor}==\"%s\", ATTRS{idProduct}==\"%s\", ENV{%s}=\"1\""
)

// Info is a serial port of this computer, seen without opening it. What can't be
// reported is left out.
type Info struct {
	Port      string    `json:"port"`                // the name to give: the stable one where there is one
	Device    string    `json:"device"`              // what the name leads to now
	Driver    string    `json:"driver,omitempty"`    // of the system
	USB       string    `json:"usb,omitempty"`       // vendor and product number, in hex, "0a1b:2c3d"
	Product   string    `json:"product,omitempty"`   // what the adapter calls itself
	Serial    string    `json:"serial,omitempty"`    // its serial number
	HeldBy    []Holder  `json:"held_by"`             // who has it open, as far as visible; never null
	MayOpen   *bool     `json:"may_open,omitempty"`  // whether we may read and write it
	Latency   string    `json:"latency"`             // e.g. "16 ms"; "unknown"
	Candidate string    `json:"candidate,omitempty"` // the device manager's mark of what programs may try out as a modem, "" for none
	Counters  *Counters `json:"counters,omitempty"`  // the driver's, where it shows them to who has not opened the port
	Trouble   []string  `json:"trouble"`             // what is wrong and what to do about it; never null
}

// judge fills in what is wrong with the port.
func (l *Info) judge() { l.Trouble = append(append([]string{}, l.ToMend()...), l.Remarks()...) }

// ToMend says what keeps the port from being listened to, and what to do.
func (l *Info) ToMend() (list []string) {
	if l.MayOpen != nil && !*l.MayOpen {
		list = append(list, fmt.Sprintf("you may not open it: %s; never run as root", admission(l.Device)))
	}
	if len(l.HeldBy) > 0 && !l.heard() {
		list = append(list, "held by "+holders(l.HeldBy)+": close what you don't need there")
	}
	if l.Candidate != "" {
		vendor, product, _ := strings.Cut(l.USB, ":")
		list = append(list, fmt.Sprintf(triedOut, l.Candidate, vendor, product, strings.TrimSuffix(l.Candidate, "_CANDIDATE")+"_DEVICE_IGNORE"))
	}
	return list
}

// Remarks says what else is to be known of the port.
func (l *Info) Remarks() (list []string) {
	if l.heard() {
		list = append(list, "a benchproof listens to it: that one tells what it hears")
	}
	if l.Counters == nil {
		return list
	}
	if n := l.Counters.lost(); n > 0 {
		list = append(list, fmt.Sprintf(charactersLost, n))
	}
	if n := l.Counters.Parity + l.Counters.Framing; n > 0 {
		list = append(list, fmt.Sprintf(charactersBad, n))
	}
	return list
}

// heard reports that a benchproof has the port open.
func (l *Info) heard() bool {
	return slices.ContainsFunc(l.HeldBy, func(h Holder) bool { return strings.HasPrefix(h.Program, "benchproof") })
}

// Called reports whether a name is that of the port: the stable one, the device's, or another
// link to it.
func (l *Info) Called(name string) bool {
	if name == l.Port || name == l.Device {
		return true
	}
	leads, err := filepath.EvalSymlinks(name)
	return err == nil && leads == l.Device
}

// Waits reports that the adapter collects what it heard for longer than it must.
func (l *Info) Waits() bool {
	ms, err := strconv.Atoi(strings.TrimSuffix(l.Latency, " ms"))
	return err == nil && ms > 1
}

//go:build linux

package main

import "fmt"

// line is what the driver asked of the line, as read from its control requests.
// The numbers are those that the kernel's driver sends.
type line struct {
	Baud, DataBits, StopBits int
	Parity                   string // N, O, E
	LatencyMS                int    // how long the adapter may collect
}

// The adapter's own requests.
const (
	resetRequest      = 0
	modemRequest      = 1
	flowRequest       = 2
	baudRequest       = 3
	shapeRequest      = 4
	modemStateRequest = 5
	eventRequest      = 6
	errorRequest      = 7
	setWaitRequest    = 9
	getWaitRequest    = 10
)

// baseClock is what the divisor divides, in baud.
const baseClock = 3_000_000

// set takes a request that changes the line; false: it is none.
func (l *line) set(kind byte, value uint16) bool {
	switch kind {
	case baudRequest:
		l.Baud = 0 // a divisor with a fraction: no rate that a bus wants
		if value != 0 && value < 1<<14 {
			l.Baud = baseClock / int(value)
		}
	case shapeRequest:
		l.DataBits = int(value & 0xff)
		l.Parity = string("NOEMS???"[value>>8&7])
		l.StopBits = []int{1, 0, 2, 0}[value>>11&3]
	case setWaitRequest:
		l.LatencyMS = int(value)
	case resetRequest, modemRequest, flowRequest, eventRequest, errorRequest:
	default:
		return false
	}
	return true
}

// String is the line in the usual short form.
func (l *line) String() string {
	return fmt.Sprintf("%d %d%s%d", l.Baud, l.DataBits, l.Parity, l.StopBits)
}

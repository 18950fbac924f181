// Package protocols is the list of the servo-bus protocols that the program knows.
// It is the one package outside a protocol's own that names it: everybody else goes by
// the rows.
//
// To add a protocol, write its package, with a function that makes its row, and add
// one line to All. The tests of this package hold the new row to what all must do.
package protocols

import (
	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

// All is the table of protocols, made anew for each caller. The first is meant where a
// sheet or a recording names none.
func All() bus.Table {
	return bus.Table{
		servobus.Protocol(),
	}
}

// Find finds a protocol of the table by its name; "" is the first one. False: there is
// none of that name.
func Find(name string) (*bus.Protocol, bool) { return All().Find(name) }

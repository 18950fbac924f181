package world

import (
	"benchproof.example/decode/scale"
	"benchproof.example/decode/servobus"
)

// MaxChannel is how many channels there are: the proportional ones, and the digital
// channels 17 and 18, of which a frame carries one bit each.
const MaxChannel = servobus.Channels + 2

// digitals are the flag bits of the digital channels.
var digitals = [MaxChannel - servobus.Channels]uint8{servobus.FlagCh17, servobus.FlagCh18}

// bitFrom is the least count of a digital channel that is sent as a bit that is set.
const bitFrom = (scale.MaxCount + 1) / 2

// values are the counts of all channels.
type values [MaxChannel]uint16

// frame is what the bus carries of them.
func (v *values) frame(flags uint8) servobus.Frame {
	f := servobus.Frame{Counts: [servobus.Channels]uint16(v[:servobus.Channels]), Flags: flags}
	for i, flag := range digitals {
		if v[servobus.Channels+i] >= bitFrom {
			f.Flags |= flag
		}
	}
	return f
}

// bitsOf are the values that a frame carries: a digital channel is at an end.
func bitsOf(f *servobus.Frame) *values {
	var v values
	copy(v[:], f.Counts[:])
	for i, flag := range digitals {
		if f.Flags&flag != 0 {
			v[servobus.Channels+i] = scale.MaxCount
		}
	}
	return &v
}

package world

import (
	"benchproof.example/decode/bus"
)

// MaxChannel is how many channels there are: the proportional ones, and the digital
// channels 17 and 18, of which a frame carries one bit each.
const MaxChannel = channels + 2

// digitals are the flag bits of the digital channels.
var digitals = [MaxChannel - channels]bus.Flags{bus.Digital(0), bus.Digital(1)}

// bitFrom is the least count of a digital channel that is sent as a bit that is set.
const bitFrom = (MaxCount + 1) / 2

// values are the counts of all channels.
type values [MaxChannel]uint32

// frame is what the bus carries of them.
func (v *values) frame(flags bus.Flags) bus.Frame {
	f := bus.Frame{Flags: flags}
	copy(f.Counts[:], v[:channels])
	for i, flag := range digitals {
		if v[channels+i] >= bitFrom {
			f.Flags |= flag
		}
	}
	return f
}

// bitsOf are the values that a frame carries: a digital channel is at an end.
func bitsOf(f *bus.Frame) *values {
	var v values
	copy(v[:], f.Counts[:])
	for i, flag := range digitals {
		if f.Flags&flag != 0 {
			v[channels+i] = MaxCount
		}
	}
	return &v
}

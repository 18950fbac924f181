package bus

// MaxDigital is the largest number of digital channels that a frame has room for.
const MaxDigital = 2

// Frame is one frame of a servo bus, decoded. Which parts of it mean anything is for
// the row of its protocol to say; the others are zero.
type Frame struct {
	Counts  Counts // of the proportional channels, from the first on; within Protocol.Range
	Flags   Flags  // what else it says
	Private uint8  `json:"Footer"` // a byte that means something to its protocol alone
	Bad     bool   // damaged: a character of the frame was marked bad (parity, framing, break)
}

// Digital reports whether a digital channel, from 0, is on.
func (f *Frame) Digital(n int) bool { return f.Flags&Digital(n) != 0 }

// Lost reports that the receiver did not hear the transmitter for this frame.
func (f *Frame) Lost() bool { return f.Flags&Lost != 0 }

// Failsafe reports that the receiver has given up and acts on its own.
func (f *Frame) Failsafe() bool { return f.Flags&Failsafe != 0 }

// Flags are what a frame says beside its channels.
type Flags uint8

// The flags. Bits 0 and 1 are the digital channels.
const (
	Lost     Flags = 1 << 2 // the receiver did not hear the transmitter for this frame
	Failsafe Flags = 1 << 3 // the receiver has given up and acts on its own

	// Unassigned are the bits that have no common meaning: a protocol that has such
	// passes them on, others leave them 0.
	Unassigned Flags = 0xF0
)

// Digital is the flag of a digital channel, from 0 to MaxDigital - 1; it is set where
// the channel is on. Any other number has no flag.
func Digital(n int) Flags {
	if n < 0 || n >= MaxDigital {
		return 0
	}
	return 1 << n
}

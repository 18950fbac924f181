// Package servobus reads and writes the serial servo bus of radio-control
// receivers: frames of 25 bytes on an inverted line at 100 000 baud 8E2.
//
//	byte 0        0x0F
//	bytes 1..22   sixteen channels of 11 bits, packed LSB first: channel n (from
//	              0) is bits 11n .. 11n+10 of the 176-bit little-endian number
//	byte 23       flags: 0 digital channel 17, 1 digital channel 18,
//	              2 frame lost, 3 failsafe; bits 4..7 usually zero
//	byte 24       footer: 0x00, or 0x04 0x14 0x24 0x34 in turn where telemetry
//	              slots follow
//
// The layout is common practice of the trade and stands likewise in the
// servo-bus input driver of a widely used open-source real-time system; the
// telemetry footers are from memory. There is no checksum.
//
// Hunting and reading are two things here: a Framer finds the 25 bytes, Decode
// reads them.
package servobus

import "encoding/binary"

// Sizes and times of the bus.
const (
	FrameLen = 25      // bytes
	Channels = 16      // proportional channels in a frame
	CharTime = 120_000 // ns: start, 8 data, parity and 2 stop bits at 100 000 baud
	// FrameTime is what 25 characters take on the wire, ns.
	FrameTime = FrameLen * CharTime
	// LastStop is the part of a character after its first stop bit, ns. A
	// receiver has the character when its first stop bit ends.
	LastStop = 10_000

	header = 0x0F
)

// Flag bits of byte 23.
const (
	FlagCh17      = 1 << 0
	FlagCh18      = 1 << 1
	FlagFrameLost = 1 << 2
	FlagFailsafe  = 1 << 3
	flagsReserved = 0xF0
)

// Frame is one servo-bus frame, decoded. Its methods read the flags.
type Frame struct {
	Counts [Channels]uint16 // 0..2047 each
	Flags  uint8            // byte 23 as it came
	Footer uint8            // byte 24 as it came
	Bad    bool             // a character of the frame was marked bad (parity, framing, break)
}

// Ch17 reports digital channel 17.
func (f *Frame) Ch17() bool { return f.Flags&FlagCh17 != 0 }

// Ch18 reports digital channel 18.
func (f *Frame) Ch18() bool { return f.Flags&FlagCh18 != 0 }

// FrameLost reports that the receiver did not hear the transmitter for this frame.
func (f *Frame) FrameLost() bool { return f.Flags&FlagFrameLost != 0 }

// Failsafe reports that the receiver has given up and acts on its own.
func (f *Frame) Failsafe() bool { return f.Flags&FlagFailsafe != 0 }

// OddFlags are the flag bits that have no common meaning, 0 as a rule.
func (f *Frame) OddFlags() uint8 { return f.Flags & flagsReserved }

// Decode reads a raw frame into f. It trusts the envelope, which is the
// Framer's work, and leaves f.Bad false.
func (f *Frame) Decode(raw *[FrameLen]byte) {
	unpack(raw, &f.Counts)
	f.Flags, f.Footer, f.Bad = raw[FrameLen-2], raw[FrameLen-1], false
}

// Encode writes the frame as it goes over the wire. Counts above eleven bits
// lose their upper bits; Bad has no place on the wire.
func (f *Frame) Encode(raw *[FrameLen]byte) {
	raw[0] = header
	pack(&f.Counts, raw)
	raw[FrameLen-2], raw[FrameLen-1] = f.Flags, f.Footer
}

// unpack takes the sixteen channels out of four overlapping 64-bit loads: five
// channels fit into 55 bits and what is left over starts on the next load.
func unpack(raw *[FrameLen]byte, c *[Channels]uint16) {
	const mask = 1<<11 - 1
	a := binary.LittleEndian.Uint64(raw[1:9])   // bits 0..63
	b := binary.LittleEndian.Uint64(raw[7:15])  // bits 48..111
	d := binary.LittleEndian.Uint64(raw[14:22]) // bits 104..167
	e := binary.LittleEndian.Uint64(raw[15:23]) // bits 112..175
	c[0] = uint16(a & mask)
	c[1] = uint16(a >> 11 & mask)
	c[2] = uint16(a >> 22 & mask)
	c[3] = uint16(a >> 33 & mask)
	c[4] = uint16(a >> 44 & mask)
	c[5] = uint16(b >> 7 & mask)
	c[6] = uint16(b >> 18 & mask)
	c[7] = uint16(b >> 29 & mask)
	c[8] = uint16(b >> 40 & mask)
	c[9] = uint16(b >> 51 & mask)
	c[10] = uint16(d >> 6 & mask)
	c[11] = uint16(d >> 17 & mask)
	c[12] = uint16(d >> 28 & mask)
	c[13] = uint16(d >> 39 & mask)
	c[14] = uint16(e >> 42 & mask)
	c[15] = uint16(e >> 53)
}

func pack(c *[Channels]uint16, raw *[FrameLen]byte) {
	var bits uint64
	n, at := 0, 1
	for _, v := range c {
		bits |= uint64(v&(1<<11-1)) << n
		for n += 11; n >= 8; n -= 8 {
			raw[at] = byte(bits)
			bits >>= 8
			at++
		}
	}
}

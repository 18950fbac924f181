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
// reads them. Everybody above decode knows the bus by its row, Protocol.
package servobus

import (
	"encoding/binary"

	"benchproof.example/decode/bus"
)

// FrameLen is the length of a frame, bytes; Channels are its proportional channels.
const (
	FrameLen = 25
	Channels = 16

	maxCount = 1<<11 - 1
	header   = 0x0F
)

// Decode reads a raw frame into f. It trusts the envelope, which is the Framer's
// work, and leaves f.Bad false. The flag bits of byte 23 lie as bus.Flags have them.
func Decode(raw []byte, f *bus.Frame) {
	r := (*[FrameLen]byte)(raw)
	unpack(r, &f.Counts)
	clear(f.Counts[Channels:])
	f.Flags, f.Private, f.Bad = bus.Flags(r[FrameLen-2]), r[FrameLen-1], false
}

// Encode writes the frame as it goes over the wire. Counts above eleven bits
// lose their upper bits; Bad has no place on the wire.
func Encode(f *bus.Frame, raw []byte) {
	r := (*[FrameLen]byte)(raw)
	r[0] = header
	pack(&f.Counts, r)
	r[FrameLen-2], r[FrameLen-1] = uint8(f.Flags), f.Private
}

// unpack takes the sixteen channels out of four overlapping 64-bit loads: five
// channels fit into 55 bits and what is left over starts on the next load.
func unpack(raw *[FrameLen]byte, c *bus.Counts) {
	const mask = maxCount
	a := binary.LittleEndian.Uint64(raw[1:9])   // bits 0..63
	b := binary.LittleEndian.Uint64(raw[7:15])  // bits 48..111
	d := binary.LittleEndian.Uint64(raw[14:22]) // bits 104..167
	e := binary.LittleEndian.Uint64(raw[15:23]) // bits 112..175
	c[0] = uint32(a & mask)
	c[1] = uint32(a >> 11 & mask)
	c[2] = uint32(a >> 22 & mask)
	c[3] = uint32(a >> 33 & mask)
	c[4] = uint32(a >> 44 & mask)
	c[5] = uint32(b >> 7 & mask)
	c[6] = uint32(b >> 18 & mask)
	c[7] = uint32(b >> 29 & mask)
	c[8] = uint32(b >> 40 & mask)
	c[9] = uint32(b >> 51 & mask)
	c[10] = uint32(d >> 6 & mask)
	c[11] = uint32(d >> 17 & mask)
	c[12] = uint32(d >> 28 & mask)
	c[13] = uint32(d >> 39 & mask)
	c[14] = uint32(e >> 42 & mask)
	c[15] = uint32(e >> 53)
}

func pack(c *bus.Counts, raw *[FrameLen]byte) {
	var bits uint64
	n, at := 0, 1
	for _, v := range c[:Channels] {
		bits |= uint64(v&maxCount) << n
		for n += 11; n >= 8; n -= 8 {
			raw[at] = byte(bits)
			bits >>= 8
			at++
		}
	}
}

package bustest

import (
	"encoding/binary"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/scale"
	"benchproof.example/decode/uart"
)

// The layout of the protocol that tests have for themselves.
const (
	twelveLen      = 2 + 3*twelveChannels + 2
	twelveChannels = 12
	twelveHeader   = 0x2CB7 // lower byte first
)

// Twelve is the row of a protocol that is unlike the servo bus wherever it can be. It
// is invented, and known to tests alone.
//
//	bytes 0..1    0xB7 0x2C
//	bytes 2..37   twelve channels: pulse widths in ns, 24 bits each, lowest byte first
//	bytes 38..39  sum of bytes 2 to 37, 16 bits, lowest byte first
//
// The line is plain, 115 200 baud 8N1. There are no flags and no digital channels.
func Twelve() *bus.Protocol {
	return &bus.Protocol{
		Name:  "twelve",
		Title: "bus of twelve channels",
		Line:  uart.Format{Baud: 115_200, Data: 8, Stop: 1},

		FrameLen: twelveLen,
		Channels: twelveChannels,
		Range:    [2]uint32{0, 1<<24 - 1},
		Scale:    scale.Scale{Counts: [2]int64{0, 1}, Nanos: [2]int64{0, 1}},
		Reasons:  []bus.Reason{bus.NoHeader, bus.BadSum, bus.CutOff},

		Codec: twelveCodec{},
	}
}

type twelveCodec struct{}

func (twelveCodec) NewFramer() bus.Framer { return new(twelveFramer) }

func (twelveCodec) Decode(raw []byte, f *bus.Frame) {
	*f = bus.Frame{}
	for i := range twelveChannels {
		at := 2 + 3*i
		f.Counts[i] = uint32(raw[at]) | uint32(raw[at+1])<<8 | uint32(raw[at+2])<<16
	}
}

func (twelveCodec) Encode(f *bus.Frame, raw []byte) {
	binary.LittleEndian.PutUint16(raw, twelveHeader)
	for i, c := range f.Counts[:twelveChannels] {
		at := 2 + 3*i
		raw[at], raw[at+1], raw[at+2] = byte(c), byte(c>>8), byte(c>>16)
	}
	binary.LittleEndian.PutUint16(raw[twelveLen-2:], twelveSum(raw))
}

func twelveSum(raw []byte) (sum uint16) {
	for _, b := range raw[2 : twelveLen-2] {
		sum += uint16(b)
	}
	return sum
}

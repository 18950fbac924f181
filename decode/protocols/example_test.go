package protocols_test

import (
	"fmt"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
)

// Three frames are written through the row of a protocol and found again in a stream
// that begins with something else.
func Example() {
	p, ok := protocols.Find("servo-bus")
	if !ok {
		return
	}
	stream := []byte{0x55, 0xAA}
	for i := range uint32(3) {
		sent := bus.Frame{Flags: bus.Digital(0)}
		sent.Counts[0] = 992 + i
		raw := make([]byte, p.FrameLen)
		p.Encode(&sent, raw)
		stream = append(stream, raw...)
	}

	framer := p.NewFramer()
	var frame bus.Frame
	framer.Feed(stream, 0, false, func(x *bus.Found) {
		p.Decode(x.Raw, &frame)
		fmt.Println(x.Offset, frame.Counts[0], p.Scale.Width(int64(frame.Counts[0])), "ns", frame.Digital(0))
	})
	account := framer.Account()
	fmt.Println(p.Line, account.Frames, "frames,", account.Refused.Total(), "bytes refused")
	// Output:
	// 2 992 1500000 ns true
	// 27 993 1500625 ns true
	// 52 994 1501250 ns true
	// 100000 8E2 inverted 3 frames, 2 bytes refused
}

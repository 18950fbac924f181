package bus_test

import (
	"fmt"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/protocols"
)

// What a program knows of a protocol, it knows by its row.
func ExampleProtocol() {
	for _, p := range append(protocols.All(), bustest.Twelve()) {
		fmt.Printf("%s: %v, %d bytes in %d µs, channels 1 to %d, a count is %d ns, failsafe flag: %t\n",
			p.Title, p.Line, p.FrameLen, p.FrameTime()/1000, p.LastChannel(), p.Scale.PerCount(), p.Flags&bus.Failsafe != 0)
	}
	// Output:
	// servo bus: 100000 8E2 inverted, 25 bytes in 3000 µs, channels 1 to 18, a count is 625 ns, failsafe flag: true
	// bus of twelve channels: 115200 8N1, 40 bytes in 3472 µs, channels 1 to 12, a count is 1 ns, failsafe flag: false
}

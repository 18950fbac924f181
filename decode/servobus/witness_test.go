package servobus_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

// still25 is a frame of nothing but its envelope and flags.
func still25(flags byte) []byte {
	b := make([]byte, servobus.FrameLen)
	b[0], b[servobus.FrameLen-2] = 0x0F, flags
	return b
}

// hears feeds chunks, one each step ns, and gives the offsets of the frames.
func hears(f *servobus.Framer, every int64, chunks ...[]byte) (offsets []int64) {
	for i, c := range chunks {
		f.Feed(c, int64(i)*every, false, func(x *bus.Found) { offsets = append(offsets, x.Offset) })
	}
	return offsets
}

// Behind a replug one frame alone is none again.
func TestAReplugLetsGo(t *testing.T) {
	var f servobus.Framer
	assert.Len(t, hears(&f, 7e6, still25(0), still25(0), still25(0)), 3)
	f.Reset()
	assert.False(t, f.Locked())
	assert.Empty(t, hears(&f, 7e6, still25(0), bytes.Repeat([]byte{0x55}, 200)))
}

// Frames with talk between them bear each other out if they come soon enough.
func TestTalkBetweenFramesMustNotLast(t *testing.T) {
	talk := bytes.Repeat([]byte{0xA5}, 10)
	chunk := append(still25(0), talk...)
	for every, locks := range map[int64]bool{20e6: true, 40e6: true, 41e6: false, 1e9: false} {
		var f servobus.Framer
		hears(&f, every, chunk, chunk, chunk, chunk)
		assert.Equal(t, locks, f.Locked(), every)
	}
}

// Bits that say what a receiver heard may change from one such frame to the next.
func TestFlagsMayChangeBetweenFramesWithTalk(t *testing.T) {
	talk := bytes.Repeat([]byte{0xA5}, 10)
	var f servobus.Framer
	found := hears(&f, 7e6,
		append(still25(0), talk...), append(still25(byte(bus.Lost)), talk...), append(still25(byte(bus.Failsafe)), talk...))
	assert.Equal(t, []int64{0, 35, 70}, found)
}

// Of two places that may be the next frame, the one with the better witness is.
func TestTheBetterWitness(t *testing.T) {
	var f servobus.Framer
	hears(&f, 7e6, still25(0), still25(0), still25(0))
	noise := bytes.Repeat([]byte{0x55}, 20)
	noise[9], noise[10] = 0x00, 0x0F // behind something like a footer, and a zero of the frame is 24 bytes on
	found := hears(&f, 7e6, append(noise, append(still25(0), still25(0)...)...))
	assert.Equal(t, []int64{95, 120}, found)
}

package main

import (
	"bytes"
	"encoding/json"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/edge"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

// A line has what its protocol has, and in one order.
func TestFramesOfAnyProtocolAsLines(t *testing.T) {
	f := bus.Frame{Counts: bus.Counts{1_500_000, 2_000_000}, Flags: bus.Digital(1) | bus.Failsafe, Private: 4, Bad: true}
	line, err := json.Marshal(&shownFrame{protocol: bustest.Twelve(), Frame: f})
	require.NoError(t, err)
	assert.Equal(t, `{"counts":[1500000,2000000,0,0,0,0,0,0,0,0,0,0],"bad":true}`, string(line))
	line, err = json.Marshal(&shownFrame{protocol: servobus.Protocol(), Frame: f})
	require.NoError(t, err)
	assert.Equal(t, `{"counts":[1500000,2000000,0,0,0,0,0,0,0,0,0,0,0,0,0,0],"ch17":false,"ch18":true,`+
		`"frame_lost":false,"failsafe":true,"footer":4,"bad":true}`, string(line))
}

// twelveBytes is a stream of the protocol that tests have for themselves, the first
// channel at 1501, 1502 µs and so on.
func twelveBytes(frames uint32) (stream []byte) {
	p := bustest.Twelve()
	for n := range frames {
		f := bus.Frame{Counts: bus.Counts{1_501_000 + 1000*n}}
		raw := make([]byte, p.FrameLen)
		p.Encode(&f, raw)
		stream = append(stream, raw...)
	}
	return stream
}

// Raw bytes are dated by the length and the rate of the protocol's own frames.
func TestDecodeRawBytesOfAnyProtocol(t *testing.T) {
	var out bytes.Buffer
	w := wants{protocol: bustest.Twelve(), period: 10_000_000}
	accounts, err := decodeRaw(bytes.NewReader(twelveBytes(2)), json.NewEncoder(&out), &w)
	require.NoError(t, err)
	assert.Equal(t, `{"t_ns":3472240,"offset":0,"frame":{"counts":[1501000,0,0,0,0,0,0,0,0,0,0,0],"bad":false}}
{"t_ns":13472240,"offset":40,"frame":{"counts":[1502000,0,0,0,0,0,0,0,0,0,0,0],"bad":false}}
`, out.String())
	assert.Equal(t, "80 bytes, 2 frames, 0 bytes refused", accounts[0].sentence())
}

// The line of a waveform is read as the protocol has it, and the sentence about how it
// idles follows from that.
func TestHowALineIdlesOnAnyProtocol(t *testing.T) {
	for _, p := range []*bus.Protocol{servobus.Protocol(), bustest.Twelve()} {
		b := busLine{frames: newFrames(p, json.NewEncoder(io.Discard), "", byDate)}
		assert.Equal(t, "as a "+p.Title+" does", b.idles(p.Line.Inverted))
		assert.Equal(t, "as behind an inverter", b.idles(!p.Line.Inverted))
		d, err := uart.NewDecoder(edge.Nanosecond, p.Line)
		require.NoError(t, err)
		b.line, b.rate, b.see, b.at = d, edge.Nanosecond, b.char, func() int64 { return 0 }
		for range p.FrameLen + 1 {
			b.frames.feed([]byte{0x55}, 0, false)
		}
		a, err := b.end("")
		require.NoError(t, err)
		line := p.Line
		line.Inverted = false
		assert.Contains(t, a.sentence(), "; is it a "+p.Title+" ("+line.String()+")?")
	}
}

// A recording may name a protocol that a later program knows.
func TestDecodeARecordingOfAnotherProtocol(t *testing.T) {
	taps := []event.TapName{{Name: "main", Kind: "bus", Protocol: "twelve"}}
	var file bytes.Buffer
	w, err := recording.NewWriter(&file, recording.Section{Base: 1_700_000_000_000_000_000, Build: "test", Taps: taps})
	require.NoError(t, err)
	start, err := json.Marshal(event.Start{Build: "test", Taps: taps})
	require.NoError(t, err)
	require.NoError(t, w.Write(&event.Input{Kind: event.InputBegin, Data: start}))
	require.NoError(t, w.Write(&event.Input{At: 1_000_000, Tap: 1, Kind: event.InputBytes, Data: twelveBytes(3)}))
	require.NoError(t, w.Flush())
	path := writeFile(t, "twelve.pcapng", file.String())

	code, _, talk := call(t, "decode", path)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "tap main has the protocol twelve, which this program does not know; want one with --protocol: servo-bus")
	code, _, talk = call(t, "decode", path, "--protocol", "servo-bus")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, talk, "120 bytes, 0 frames, 120 bytes refused")
	code, _, talk = call(t, "decode", path, "--protocol", "twelve")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "got --protocol twelve, want one of servo-bus")
}

// A day of a bus is twelve million frames: what each leaves behind is what the program holds.
func TestALineOfAFrameLeavesLittleBehind(t *testing.T) {
	f := newFrames(servobus.Protocol(), json.NewEncoder(io.Discard), "", byDate)
	var raw [servobus.FrameLen]byte
	servobus.Encode(&bus.Frame{}, raw[:])
	at := int64(0)
	feed := func() {
		for i := range raw {
			at += 120_000
			f.feed(raw[i:i+1], at, false)
		}
		at += 4_000_000
	}
	feed()
	feed()
	assert.LessOrEqual(t, testing.AllocsPerRun(100, feed), 3.0, "under the race detector; 0 without")
	assert.Greater(t, f.end("").Frames, int64(100))
}

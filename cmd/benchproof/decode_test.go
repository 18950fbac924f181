package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// boardLine frames the text of a capture board: $, text, *, XOR of the text.
func boardLine(text string) string {
	sum := byte(0)
	for i := range len(text) {
		sum ^= text[i]
	}
	return fmt.Sprintf("$%s*%02X\r\n", text, sum)
}

// A board with ticks of half a microsecond: pulses of 1500 µs each 20 ms on
// output 2, one of 1000 µs on output 5, a line that was hurt.
func boardCapture() string {
	return "PBPX,0,2,0,BB8*00\r\n" + boardLine("PBPI,board,500,8,0") +
		boardLine("PBPX,F001,2,2710,BB8") + boardLine("PBPX,F002,5,2710,7D0") + boardLine("PBPX,F003,2,C350,BB8") +
		strings.Replace(boardLine("PBPX,F004,2,15F90,BB8"), "15F", "16F", 1) + boardLine("PBPX,F005,2,1FBD0,BB9")
}

const boardTalk = " bytes, 4 pulses, 46 bytes refused: 19 outside, 27 bad-sum; 1 lines lost\n"

func writeFile(t *testing.T, name, text string) string {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func TestDecodeBoardLines(t *testing.T) {
	path := writeFile(t, "board", boardCapture())
	for _, args := range [][]string{{}, {"--as", "pulses"}} {
		code, out, talk := call(t, append([]string{"decode", path}, args...)...)
		assert.Equal(t, exitDone, code, talk)
		assert.Equal(t, `{"t_ns":1500000,"pulse":{"output":"2","width_ns":1500000,"period_ns":null}}
{"t_ns":1000000,"pulse":{"output":"5","width_ns":1000000,"period_ns":null}}
{"t_ns":21500000,"pulse":{"output":"2","width_ns":1500000,"period_ns":20000000}}
{"t_ns":61500500,"pulse":{"output":"2","width_ns":1500500,"period_ns":null}}
`, out)
		assert.Equal(t, fmt.Sprint(len(boardCapture()))+boardTalk, talk)
	}
	code, _, talk := call(t, "decode", path, "--as", "bus")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, talk, "no frame in "+path)
	code, _, talk = call(t, "decode", writeFile(t, "silence", boardLine("PBPI,board,500,8,0")))
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, talk, "no pulse in ")
}

// A recording has both: each item is dated as it was read.
func TestDecodeRecordingOfBusAndLeads(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/raw/clean.bus")
	require.NoError(t, err)
	var file bytes.Buffer
	w, err := recording.NewWriter(&file, recording.Section{Base: 1_700_000_000_000_000_000, Build: "test",
		Taps: []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}})
	require.NoError(t, err)
	at := unit.Time(0)
	put := func(tap uint8, kind event.InputKind, data []byte) {
		at = at.Add(unit.Millisecond)
		require.NoError(t, w.Write(&event.Input{At: at, Tap: tap, Kind: kind, Data: data}))
	}
	put(event.BenchTap, event.InputBegin, []byte(`{"build":"test","wall_ns":1700000000000000000,`+
		`"taps":[{"name":"main","kind":"bus"},{"name":"leads","kind":"pulses"}]}`))
	put(1, event.InputTapUp, []byte(`{"port":"a"}`))
	put(2, event.InputTapUp, []byte(`{"port":"b"}`))
	put(2, event.InputBytes, []byte(boardCapture()))
	put(1, event.InputBytes, raw[:100])
	put(2, event.InputTapDown, []byte("gone"))
	put(event.BenchTap, event.InputEnd, nil)
	require.NoError(t, w.Flush())
	path := writeFile(t, "recording.pcapng", file.String())

	code, both, talk := call(t, "decode", path)
	require.Equal(t, exitDone, code, talk)
	assert.Equal(t, "main: 100 bytes, 4 frames, 0 bytes refused\nleads: "+fmt.Sprint(len(boardCapture()))+boardTalk, talk)
	assert.Contains(t, both, `{"t_ns":4000000,"tap":"leads","pulse":{"output":"2","width_ns":1500000,"period_ns":20000000}}`)
	assert.Contains(t, both, `{"t_ns":5000000,"tap":"main","offset":0,"frame":{"counts":[`)
	_, bus, _ := call(t, "decode", path, "--as", "bus")
	_, pulses, _ := call(t, "decode", path, "--as", "pulses")
	assert.Equal(t, 4, strings.Count(bus, "frame\":"))
	assert.Equal(t, 4, strings.Count(pulses, "pulse\":"))
	assert.Equal(t, both, pulses+bus)
}

func TestDecodeSentences(t *testing.T) {
	board, bus := writeFile(t, "board", boardCapture()), "../../testdata/raw/clean.bus"
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{bus, "--as", "words"}, exitUsage, "got --as words, want bus or pulses"},
		{[]string{bus, "--invert", "maybe"}, exitUsage, "got --invert maybe, want auto, yes or no"},
		{[]string{bus, "--signal", "bus"}, exitUsage, "found no waveform; want one with --signal"},
		{[]string{board, "--signal", "2"}, exitUsage, "found no waveform; want one with --signal"},
		{[]string{bus, "--as", "pulses"}, exitWrong, "no pulse in " + bus},
	} {
		code, _, talk := call(t, append([]string{"decode"}, c.args...)...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		assert.Contains(t, talk, c.want, "%v", c.args)
	}
}

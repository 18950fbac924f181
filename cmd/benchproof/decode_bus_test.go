package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A bus out of a dump and out of a list yields what the script that wrote them put
// in, whichever way its polarity is known.
func TestDecodeBusOfAWaveform(t *testing.T) {
	var want struct {
		Frames []struct {
			T      int64      `json:"t_ns"`
			Counts [16]uint32 `json:"counts"`
		} `json:"frames"`
	}
	raw, err := os.ReadFile(waveforms + "vcd-bus.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &want))
	require.NotEmpty(t, want.Frames)
	for _, args := range [][]string{
		{waveforms + "vcd-bus.vcd", "--as", "bus", "--signal", "bus"},
		{waveforms + "vcd-bus.vcd", "--signal", "top.bus"},
		{waveforms + "vcd-bus.vcd", "--signal", "bus", "--invert", "yes"},
	} {
		code, out, talk := call(t, append([]string{"decode"}, args...)...)
		require.Equal(t, exitDone, code, talk)
		lines := bufio.NewScanner(strings.NewReader(out))
		for i := range want.Frames {
			require.True(t, lines.Scan(), "%v", args)
			var got frameLine
			require.NoError(t, json.Unmarshal(lines.Bytes(), &got))
			assert.Equal(t, want.Frames[i].T, got.T)
			assert.Equal(t, want.Frames[i].Counts[:], got.Frame.Counts[:16])
			assert.Equal(t, int64(25*i), got.Offset)
			assert.False(t, got.Frame.Bad)
		}
		assert.False(t, lines.Scan(), "no more")
		assert.Contains(t, talk, "200 bytes, 8 frames, 0 bytes refused; 0 characters with bad parity")
	}
}

// With the polarity the wrong way round most characters are bad and no frame is
// made of them.
func TestDecodeBusTheWrongWayRound(t *testing.T) {
	code, out, talk := call(t, "decode", waveforms+"vcd-bus.vcd", "--signal", "bus", "--invert", "no")
	assert.Equal(t, exitWrong, code)
	assert.Empty(t, out)
	assert.Contains(t, talk, "is it a servo bus (100000 8E2)?")
	assert.Contains(t, talk, "no frame in ")
}

// A dump that is cut anywhere yields the frames before the cut, each as it was.
func TestDecodeBusOfACutDump(t *testing.T) {
	whole, err := os.ReadFile(waveforms + "vcd-bus.vcd")
	require.NoError(t, err)
	_, all, _ := call(t, "decode", waveforms+"vcd-bus.vcd", "--signal", "bus")
	path := filepath.Join(t.TempDir(), "cut.vcd")
	frames := 0
	for cut := bytes.Index(whole, []byte("$enddefinitions")) + 60; cut < len(whole); cut += 397 {
		require.NoError(t, os.WriteFile(path, whole[:cut], 0o600))
		code, out, talk := call(t, "decode", path, "--as", "bus", "--signal", "bus")
		require.Contains(t, []int{exitDone, exitWrong}, code, talk)
		require.True(t, strings.HasPrefix(all, out), "cut at %d: %s", cut, out)
		frames += strings.Count(out, "\n")
	}
	assert.Greater(t, frames, 50)
}

func TestDecodeBusOfACoarseFile(t *testing.T) {
	path := writeFile(t, "coarse.vcd", "$timescale 10 us $end $var wire 1 ! bus $end $enddefinitions $end #0 0! #1 1! #2 0! ")
	code, _, talk := call(t, "decode", path, "--as", "bus")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "too coarse for a bus")
}

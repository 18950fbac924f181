//go:build yardstick && linux

package main

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

// Dump to frames beside a general converter of dumps, each by its processor time
// on the same file: at least ten times as fast, in 24 MB.
func TestYardstickOfDumps(t *testing.T) {
	dir := t.TempDir()
	dump := filepath.Join(dir, "bus.vcd")
	frames := writeDump(t, dump, 250_000_000)
	program := filepath.Join(dir, "benchproof")
	require.NoError(t, exec.Command("go", "build", "-o", program, ".").Run())

	ours, memory := measure(t, program, "decode", dump, "--as", "bus", "--signal", "bus")
	theirs, _ := measure(t, "vcd2fst", dump, filepath.Join(dir, "bus.fst"))
	ratio := float64(theirs) / float64(ours)
	t.Logf("%d frames: decode %v of processor time, resident %d kB; vcd2fst %v: %.1f times as long", frames, ours, memory, theirs, ratio)
	assert.GreaterOrEqual(t, ratio, 10.0)
	assert.LessOrEqual(t, memory, int64(24<<10), "kB resident")
}

// measure runs a program and gives its processor time and largest resident size, kB.
func measure(t *testing.T, name string, args ...string) (time.Duration, int64) {
	t.Helper()
	cmd := exec.Command(name, args...)
	require.NoError(t, cmd.Run(), "%s %v", name, args)
	s := cmd.ProcessState
	return s.UserTime() + s.SystemTime(), s.SysUsage().(*syscall.Rusage).Maxrss
}

// writeDump writes about size bytes of an inverted bus with a frame each 7 ms,
// beside a servo lead, and reports how many frames.
func writeDump(t *testing.T, path string, size int64) (frames int) {
	f, err := os.Create(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	out := bufio.NewWriterSize(f, 1<<20)
	written, _ := fmt.Fprint(out, "$timescale 1 ns $end\n$scope module top $end\n$var wire 1 ! bus $end\n"+
		"$var wire 1 \" pwm1 $end\n$upscope $end\n$enddefinitions $end\n#0\n0!\n0\"\n")
	rng := rand.New(rand.NewPCG(1, 2))
	var text []byte
	const period, bit = 7_000_000, 10_000
	for at := int64(1_000_000); int64(written) < size; at += period {
		var frame bus.Frame
		for i := range frame.Counts {
			frame.Counts[i] = uint32(172 + rng.IntN(1640))
		}
		var raw [servobus.FrameLen]byte
		servobus.Encode(&frame, raw[:])
		text = text[:0]
		level := byte(0)
		for i, b := range raw {
			for n, l := range inverted(b) {
				if l != level {
					text = changeValue(text, at+int64(i)*servobus.Protocol().CharTime()+int64(n)*bit, l, '!')
					level = l
				}
			}
		}
		text = changeValue(changeValue(text, at+4_000_000, 1, '"'), at+5_500_000, 0, '"')
		n, err := out.Write(text)
		require.NoError(t, err)
		written += n
		frames++
	}
	require.NoError(t, out.Flush())
	return frames
}

func changeValue(text []byte, at int64, level, code byte) []byte {
	text = strconv.AppendInt(append(text, '#'), at, 10)
	return append(text, '\n', '0'+level, code, '\n')
}

// inverted is the levels of a character behind an inverter: start, eight data
// bits, even parity, two stop bits.
func inverted(b byte) (levels [12]byte) {
	levels[0] = 1
	parity := byte(0)
	for i := range 8 {
		data := b >> i & 1
		levels[1+i] = 1 - data
		parity ^= data
	}
	levels[9] = 1 - parity
	return levels
}

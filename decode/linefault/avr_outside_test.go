//go:build outside

package linefault_test

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
)

// firmware is how a microcontroller is programmed to send; see testdata/avr/sender.c.
type firmware struct {
	rate                   int64
	parity                 string
	stop, inverted, period int
	text, model            int
}

// command runs a command in a directory.
func command(t *testing.T, dir string, args ...string) {
	t.Helper()
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%v: %s", args, out)
}

// sources is the directory of the programs in C.
func sources(t *testing.T) string {
	t.Helper()
	dir, err := filepath.Abs("testdata/avr")
	require.NoError(t, err)
	return dir
}

// simulator builds the program that runs a firmware under simavr, and returns its path.
func simulator(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "dump")
	command(t, sources(t), "cc", "-std=gnu11", "-O2", "-Wall", "-Wextra", "-Werror", "-o", path, "dump.c", "-lsimavr", "-lelf")
	return path
}

// sentByAVR is the line that a firmware sends on a pin, cycle by cycle.
func sentByAVR(t *testing.T, simulator string, f firmware) linesim.Line {
	t.Helper()
	dir := t.TempDir()
	args := []string{"avr-gcc", "-mmcu=atmega328p", "-DF_CPU=16000000UL", "-std=gnu99", "-Os", "-Wall", "-Wextra", "-Werror"}
	args = append(args, fmt.Sprintf("-DRATE=%dUL", f.rate), "-DPARITY="+f.parity, fmt.Sprintf("-DSTOP=%d", f.stop),
		fmt.Sprintf("-DINVERTED=%d", f.inverted), fmt.Sprintf("-DTEXT=%d", f.text), fmt.Sprintf("-DPERIOD=%d", f.period), fmt.Sprintf("-DMODEL=%d", f.model))
	command(t, sources(t), append(args, "-o", filepath.Join(dir, "sender.elf"), "sender.c")...)
	command(t, dir, simulator, "sender.elf", fmt.Sprint(span/ms+100), "line.vcd")
	return dumped(t, filepath.Join(dir, "line.vcd"), "line")
}

// models is how many frames, and lines of text, a firmware has.
const models = 4

// Lines of a microcontroller that is programmed otherwise than the port is set: of four frames, or
// lines of text, and all ways of marking the cause is found in so many of a hundred at least, and
// where it is not, no wrong one is likely. Text that is short or has no letters is often none of
// what the tables have.
func TestLinesOfAMicrocontroller(t *testing.T) {
	dump := simulator(t)
	for _, c := range []struct {
		name  string
		sent  firmware
		want  linefault.Cause
		least int
	}{
		{"as it should be", firmware{rate: 100_000, parity: "EVEN", stop: 2, period: 14}, linefault.Healthy, 100},
		{"one stop bit, which a port does not see", firmware{rate: 100_000, parity: "EVEN", stop: 1, period: 14}, linefault.Healthy, 100},
		{"upside down", firmware{rate: 100_000, parity: "EVEN", stop: 2, inverted: 1, period: 14}, linefault.Inverted, 75},
		{"odd parity", firmware{rate: 100_000, parity: "ODD", stop: 2, period: 14}, linefault.Parity, 75},
		{"no parity", firmware{rate: 100_000, parity: "NONE", stop: 2, period: 14}, linefault.Parity, 75},
		{"twice the rate", firmware{rate: 200_000, parity: "EVEN", stop: 2, period: 7}, linefault.Rate, 75},
		{"at 115 200", firmware{rate: 115_200, parity: "EVEN", stop: 2, period: 14}, linefault.Rate, 75},
		{"half the rate", firmware{rate: 50_000, parity: "EVEN", stop: 2, period: 14}, linefault.Rate, 75},
		{"text at 9600", firmware{rate: 9600, parity: "NONE", stop: 1, text: 1, period: 100}, linefault.Stream, 75},
		{"text at 57 600", firmware{rate: 57_600, parity: "NONE", stop: 1, text: 1, period: 100}, linefault.Stream, 25},
		{"text at 57 600, inverted", firmware{rate: 57_600, parity: "NONE", stop: 1, text: 1, inverted: 1, period: 100}, linefault.Stream, 25},
	} {
		t.Run(c.name, func(t *testing.T) {
			var all []linefault.Finding
			for c.sent.model = range models {
				all = append(all, findings(t, sentByAVR(t, dump, c.sent), plain(protocol()), c.want)...)
			}
			right := 0
			for _, f := range all {
				if f.Cause == c.want {
					right++
				} else if f.Cause != linefault.None {
					assert.Less(t, f.Sure, 60, "%v is not likely", f.Cause)
				}
			}
			t.Logf("right: %d of %d", right, len(all))
			assert.GreaterOrEqual(t, 100*right, c.least*len(all))
		})
	}
}

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
	"benchproof.example/decode/uart"
)

// sentByVerilog is a signal of the transmitter in Icarus Verilog, IEEE 1364, whose clock runs so
// many times as slowly.
func sentByVerilog(t *testing.T, scale float64, inverted int, signal string) linesim.Line {
	dir := t.TempDir()
	source, err := filepath.Abs("../uart/verilog/transmitter.v")
	require.NoError(t, err)
	for _, args := range [][]string{
		{"iverilog", "-g2005", fmt.Sprintf("-Pbench.SCALE=%g", scale), fmt.Sprintf("-Pbench.INVERTED=%d", inverted), "-s", "bench", "-o", "bench.vvp", source},
		{"vvp", "bench.vvp"},
	} {
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	return dumped(t, filepath.Join(dir, "bench.vcd"), signal)
}

// Lines of an independent transmitter, read by ports that are set otherwise: the causes are
// found with each way of marking, or all but one, and then nothing else is likely. A bus that
// is twice as fast in all, which no receiver has, is another stream.
func TestLinesOfATransmitterInVerilog(t *testing.T) {
	right := plain(protocol())
	for _, c := range []struct {
		name     string
		scale    float64
		inverted int
		signal   string
		port     uart.Format
		want     linefault.Cause
	}{
		{"as it should be", 1, 0, "bench.bus", right, linefault.Healthy},
		{"upside down", 1, 1, "bench.bus", right, linefault.Inverted},
		{"odd parity", 1, 0, "bench.bus", format(100_000, uart.Odd, 2), linefault.Parity},
		{"read at 115 200", 1, 0, "bench.bus", format(115_200, uart.None, 1), linefault.Rate},
		{"read at 200 000", 1, 0, "bench.bus", format(200_000, uart.Even, 2), linefault.Rate},
		{"sent at 200 000, a frame each 3.5 ms", 0.5, 0, "bench.bus", right, linefault.Stream},
		{"a servo lead", 1, 1, "bench.pwm1", right, linefault.Pulses},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := sentByVerilog(t, c.scale, c.inverted, c.signal)
			all, right := findings(t, l, c.port, c.want), 0
			for _, f := range all {
				if f.Cause == c.want {
					right++
				} else {
					assert.Less(t, f.Sure, 60, "%v is not likely", f.Cause)
				}
			}
			assert.GreaterOrEqual(t, right, len(all)-1)
		})
	}
}

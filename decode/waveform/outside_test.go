//go:build outside

package waveform_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/waveform"
)

// outsider runs a tool of others; a machine without it fails.
func outsider(t *testing.T, dir, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	require.NoError(t, err, "the outside check needs %s", name)
	cmd := exec.Command(path, args...)
	cmd.Dir = dir
	out, err := cmd.Output()
	require.NoError(t, err, "%s %v", name, args)
	return string(out)
}

func readPath(t *testing.T, path string, names ...string) reading {
	f, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	out := read(f, names...)
	require.NoError(t, out.err)
	return out
}

// Another program reads our dump and writes what it understood as a dump of its
// own; the edges are the same.
func TestOthersUnderstandTheSame(t *testing.T) {
	path, err := filepath.Abs(filepath.Join(folder, "vcd-bus.vcd"))
	require.NoError(t, err)
	requireRoundTrip(t, path, "top.bus", "top.pwm1")
}

func requireRoundTrip(t *testing.T, path string, signals ...string) {
	dir := t.TempDir()
	outsider(t, dir, "vcd2fst", path, "there.fst")
	outsider(t, dir, "fst2vcd", "-f", "there.fst", "-o", "back.vcd")
	for _, signal := range signals {
		want, got := readPath(t, path, signal), readPath(t, filepath.Join(dir, "back.vcd"), signal)
		require.NotEmpty(t, want.events)
		assert.Equal(t, nanos(&want), nanos(&got), signal)
	}
}

// nanos are edges with their rate.
func nanos(r *reading) (out []string) {
	for _, e := range r.events {
		out = append(out, fmt.Sprintf("%d·%d/%d %v", e.Tick, r.rate.Num, r.rate.Den, e.Level))
	}
	return out
}

// A simulator prints each change as it happens and dumps it as well, in several
// timescales. Of unknown and undriven one may follow the other: no edge.
const bench = "`timescale %s / %s" + `
module bench;
  reg line, other; reg [7:0] wide; real volts; integer i, seed;
  top uut(line);
  always @(line) if ($time > 0) $display("%%0t %%b", $realtime, line);
  initial begin
    $timeformat(-15, 0, "", 0);
    $dumpfile("bench.vcd");
    $dumpvars(0, bench);
    seed = 7; line = 0; other = 1; wide = 0; volts = 0;
    for (i = 0; i < 3000; i = i + 1) begin
      #($urandom(seed) %% 900 + 1);
      wide = wide + 1; volts = volts * 0.5 + 1;
      other = ~other;
      case ($urandom(seed) %% 9)
        0: line = 1'bx;
        1: line = 1'bz;
        2, 3, 4: line = 1;
        default: line = 0;
      endcase
    end
    $finish(0);
  end
endmodule
module top(input wire \strange.name* );
  wire [1:0] pair = {2{\strange.name* }};
endmodule
`

func TestSimulatorsDump(t *testing.T) {
	for _, c := range []struct {
		unit, precision string
		rate            edge.Rate
		femto           int64 // of a tick
	}{
		{"1ns", "1ns", edge.Nanosecond, 1_000_000}, {"10us", "100ns", edge.Rate{Num: 100, Den: 1}, 100_000_000},
		{"1ps", "1ps", edge.Rate{Num: 1, Den: 1000}, 1000}, {"100fs", "10fs", edge.Rate{Num: 1, Den: 100_000}, 10},
		{"1fs", "1fs", edge.Rate{Num: 1, Den: 1_000_000}, 1},
	} {
		t.Run(c.unit, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "bench.v"), []byte(fmt.Sprintf(bench, c.unit, c.precision)), 0o600))
			outsider(t, dir, "iverilog", "-g2012", "-o", "bench", "bench.v")
			printed := strings.Split(strings.TrimSpace(outsider(t, dir, "vvp", "-n", "bench")), "\n")
			printed = slices.DeleteFunc(printed, func(line string) bool { return strings.HasPrefix(line, "VCD info") })
			require.Greater(t, len(printed), 1000)
			path := filepath.Join(dir, "bench.vcd")
			got := readPath(t, path, "bench.line")
			require.Equal(t, c.rate, got.rate)
			levels := map[string]edge.Level{"0": edge.Low, "1": edge.High, "x": edge.Unknown, "z": edge.Unknown}
			var want, have []string
			last := got.events[0].Level
			for _, line := range printed {
				at, level, _ := strings.Cut(line, " ")
				if levels[level] == last {
					continue
				}
				last = levels[level]
				want = append(want, at+" "+last.String())
			}
			for _, e := range got.events[1:] {
				have = append(have, fmt.Sprintf("%d %v", e.Tick*c.femto, e.Level))
			}
			assert.Equal(t, want, have)
			alias := readPath(t, path, "strange.name*")
			assert.Equal(t, got.events, alias.events)
			requireRoundTrip(t, path, "bench.line", "bench.other")
			requireNoLevels(t, path)
		})
	}
}

func requireNoLevels(t *testing.T, path string) {
	f, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	r, err := waveform.Open(f)
	require.NoError(t, err)
	assert.ErrorContains(t, r.Select("volts"), "bench.volts has no levels")
	assert.ErrorContains(t, r.Select("wide"), "has 8 bits")
	assert.ErrorContains(t, r.Select("lime"), `found no signal "lime"; want bench.line`)
}

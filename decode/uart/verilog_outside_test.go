//go:build outside

package uart_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
	"benchproof.example/decode/waveform"
)

// sim is what a simulated transmitter says it sent, and its dump.
type sim struct {
	dump   []byte
	bytes  []byte
	ends   []int64            // of the first stop bit of each, ps
	pulses map[int][][2]int64 // of each output: falling edge, ps, and width, ns as asked for
}

// simulate runs the transmitter in Icarus Verilog, IEEE 1364.
func simulate(t *testing.T, scale float64, inverted int) *sim {
	dir := t.TempDir()
	source, err := filepath.Abs("verilog/transmitter.v")
	require.NoError(t, err)
	run := func(name string, args ...string) []byte {
		cmd := exec.Command(name, args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
		return out
	}
	run("iverilog", "-g2005", fmt.Sprintf("-Pbench.SCALE=%g", scale), fmt.Sprintf("-Pbench.INVERTED=%d", inverted), "-s", "bench", "-o", "bench.vvp", source)
	out := run("vvp", "bench.vvp")
	s := &sim{pulses: map[int][][2]int64{}}
	for line := range strings.Lines(string(out)) {
		var at, width int64
		var b byte
		var n int
		if _, err := fmt.Sscanf(line, "byte %d %x", &at, &b); err == nil {
			s.bytes, s.ends = append(s.bytes, b), append(s.ends, at)
		}
		if _, err := fmt.Sscanf(line, "pulse %d %d %d", &n, &at, &width); err == nil {
			s.pulses[n] = append(s.pulses[n], [2]int64{at, width})
		}
	}
	s.dump, err = os.ReadFile(filepath.Join(dir, "bench.vcd"))
	require.NoError(t, err)
	return s
}

// edges hands over those of some signals of the dump.
func (s *sim) edges(t *testing.T, take func(*waveform.Event), signals ...string) *waveform.Reader {
	r, err := waveform.Open(bytes.NewReader(s.dump))
	require.NoError(t, err)
	require.NoError(t, r.Select(signals...))
	for {
		events, err := r.Next()
		for i := range events {
			take(&events[i])
		}
		if errors.Is(err, io.EOF) {
			return r
		}
		require.NoError(t, err)
	}
}

// What an independent transmitter in Verilog sends, both ways round and with a clock
// that is off by 2 %, comes out of its dump as it printed it: each byte, when its
// first stop bit ended, each frame, each pulse of two servo leads.
func TestATransmitterInVerilog(t *testing.T) {
	for _, c := range []struct {
		scale    float64
		inverted int
	}{{1, 1}, {1, 0}, {0.98, 1}, {1.02, 1}, {0.98, 0}, {1.02, 0}} {
		t.Run(fmt.Sprintf("%g of the time, inverted %d", c.scale, c.inverted), func(t *testing.T) {
			s := simulate(t, c.scale, c.inverted)
			require.Len(t, s.bytes, 60*servobus.FrameLen)
			s.checkBus(t, c.scale, c.inverted == 1)
			s.checkLeads(t, c.scale)
		})
	}
}

func (s *sim) checkBus(t *testing.T, scale float64, inverted bool) {
	var line *uart.Auto
	var got []byte
	var framer servobus.Framer
	framed := 0
	take := func(c *uart.Char) {
		require.False(t, c.Bad(), "character %d: %+v", len(got), c)
		// The decoder counts bits at the nominal rate from the start edge on.
		assert.InDelta(t, s.ends[len(got)], c.At, 0.025*110e6, "character %d", len(got))
		if scale == 1 {
			assert.Equal(t, s.ends[len(got)], c.At)
		}
		got = append(got, c.Byte)
		framer.Feed([]byte{c.Byte}, c.At/1000, false, func(*bus.Found) { framed++ })
	}
	r, err := waveform.Open(bytes.NewReader(s.dump))
	require.NoError(t, err)
	line, err = uart.NewAuto(r.Rate(), servoBus)
	require.NoError(t, err)
	end := s.edges(t, func(e *waveform.Event) { line.Edge(e.Edge, take) }, "bench.bus").Account().Last
	line.Until(end, take)
	framer.Reset()
	found, known := line.Inverted()
	assert.True(t, known)
	assert.Equal(t, inverted, found)
	assert.Equal(t, s.bytes, got)
	assert.Equal(t, 60, framed, "frames")
}

func (s *sim) checkLeads(t *testing.T, scale float64) {
	r, err := waveform.Open(bytes.NewReader(s.dump))
	require.NoError(t, err)
	meters := []*pulse.Meter{pulse.NewMeter(1, r.Rate(), pulse.CommonLimits()), pulse.NewMeter(2, r.Rate(), pulse.CommonLimits())}
	got := map[int][][2]int64{}
	see := func(p *pulse.Pulse) { got[p.Output] = append(got[p.Output], [2]int64{p.Rise + p.Width, p.Width}) }
	s.edges(t, func(e *waveform.Event) { meters[e.Signal].Edge(e.Edge, see) }, "bench.pwm1", "bench.pwm2")
	for n := 1; n <= 2; n++ {
		meters[n-1].Flush(see)
		want := s.pulses[n]
		require.InDelta(t, len(want), len(got[n]), 1, "output %d: the last may not be over", n)
		for i, p := range got[n] {
			assert.InDelta(t, float64(want[i][1])*scale, float64(p[1]), 1, "output %d, pulse %d: width", n, i)
			assert.InDelta(t, want[i][0]/1000, p[0], 1, "output %d, pulse %d: falling edge", n, i)
		}
	}
}

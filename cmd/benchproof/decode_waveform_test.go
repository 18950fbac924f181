package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const waveforms = "../../testdata/waveforms/"

// madeOf is what the script that wrote the waveforms put into them.
type madeOf struct {
	Frames []struct {
		T      int64 `json:"t_ns"`
		Counts []int `json:"counts"`
		Flags  int   `json:"flags"`
	} `json:"frames"`
	Pulses []struct {
		T     int64 `json:"t_ns"`
		Width int64 `json:"width_ns"`
	} `json:"pulses"`
}

func readMadeOf(t *testing.T) (m madeOf) {
	raw, err := os.ReadFile(waveforms + "vcd-bus.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &m))
	return m
}

func jsonLines[L any](t *testing.T, out string) (lines []L) {
	for line := range strings.Lines(out) {
		var l L
		require.NoError(t, json.Unmarshal([]byte(line), &l), line)
		lines = append(lines, l)
	}
	return lines
}

func TestDecodePulsesOfWaveforms(t *testing.T) {
	want := readMadeOf(t).Pulses
	for _, args := range [][]string{
		{"vcd-bus.vcd", "--as", "pulses", "--signal", "pwm1"}, {"csv-bus.csv", "--as", "pulses", "--signal", "pwm1"},
		{"vcd-bus.vcd", "--signal", "top.pwm1"}, {"csv-bus.csv", "--signal", "pwm1", "--invert", "no"},
	} {
		code, out, talk := call(t, append([]string{"decode", waveforms + args[0]}, args[1:]...)...)
		require.Equal(t, exitDone, code, talk)
		got := jsonLines[pulseLine](t, out)
		require.Len(t, got, len(want))
		for i, p := range got {
			assert.Equal(t, want[i].T, p.T)
			assert.Equal(t, want[i].Width, p.Pulse.Width)
			assert.Contains(t, args[len(args)-1]+"pwm1", p.Pulse.Output)
			if i == 0 {
				assert.Nil(t, p.Pulse.Period)
			} else {
				assert.Equal(t, int64(20_000_000), *p.Pulse.Period)
			}
		}
		assert.Equal(t, "9 edges, 4 pulses, 0 faults\n", talk)
	}
}

// Samples of two leads that rise at different times: in the order in which they fall.
func TestDecodeLeadsTogether(t *testing.T) {
	code, out, talk := call(t, "decode", waveforms+"csv-samples.csv", "--as", "pulses", "--signal", "pwm 1", "--signal", "pwm 2")
	require.Equal(t, exitDone, code, talk)
	assert.Equal(t, `{"t_ns":1300000,"pulse":{"output":"pwm 2","width_ns":1000000,"period_ns":null}}
{"t_ns":1600000,"pulse":{"output":"pwm 1","width_ns":1500000,"period_ns":null}}
{"t_ns":5300000,"pulse":{"output":"pwm 2","width_ns":1000000,"period_ns":4000000}}
{"t_ns":5600000,"pulse":{"output":"pwm 1","width_ns":1500000,"period_ns":4000000}}
`, out)
	assert.Equal(t, "10 edges, 4 pulses, 0 faults\n", talk)
	inverted := writeFile(t, "inverted.csv", "ms,pwm\n0,1\n1,0\n2.5,1\n")
	code, out, talk = call(t, "decode", inverted, "--invert", "yes")
	require.Equal(t, exitDone, code, talk)
	assert.Equal(t, `{"t_ns":2500000,"pulse":{"output":"pwm","width_ns":1500000,"period_ns":null}}`+"\n", out)
}

func TestDecodeWaveformSentences(t *testing.T) {
	bad := writeFile(t, "bad.csv", "ms,pwm\n0,1\n1,0\n2.5,up\n")
	cut := writeFile(t, "cut.csv", "ms,pwm\n0,0\n1,1\n2.5,0\n9,")
	quiet := writeFile(t, "quiet.csv", "ms,pwm\n0,0\n")
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{waveforms + "vcd-bus.vcd"}, exitUsage, "vcd-bus.vcd: found several signals; want them chosen with --signal NAME: top.bus, top.pwm1"},
		{[]string{waveforms + "vcd-bus.vcd", "--signal", "pwm"}, exitUsage, `vcd-bus.vcd: found no signal "pwm"; want top.pwm1`},
		{[]string{waveforms + "vcd-bus.vcd", "--signal", "byte"}, exitUsage, "top.byte[7:0] has 8 bits; want a signal of one bit"},
		{[]string{waveforms + "vcd-bus.vcd", "--signal", "bus", "--signal", "pwm1"}, exitUsage, "got 2 signals; want one for a bus, or --as pulses"},
		{[]string{bad}, exitUsage, `bad.csv:4:5: found the level "up"; want 0 or 1`},
		{[]string{cut}, exitDone, "3 edges, 1 pulses, 0 faults; the file ends within a change, which was left out\n"},
		{[]string{quiet, "--as", "pulses"}, exitWrong, "no pulse in "},
		{[]string{writeFile(t, "text", "hello\n")}, exitUsage, `text:1:1: found the first column "hello", whose last word is no unit of time`},
		{[]string{writeFile(t, "elf", "\x7fELF\x02\x01")}, exitUsage, "elf:1:1: found a program (ELF); want a value change dump"},
	} {
		code, _, talk := call(t, append([]string{"decode"}, c.args...)...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		assert.Contains(t, talk, c.want, "%v", c.args)
	}
}

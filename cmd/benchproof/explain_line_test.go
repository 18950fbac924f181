package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Causes out of recordings, a waveform and raw bytes; the exit code says whether a bus is
// healthy.
func TestExplainFiles(t *testing.T) {
	const byHand = "../../testdata/byhand/"
	for _, c := range []struct {
		args []string
		code int
		want []string
	}{
		{[]string{byHand + "line-inverted/recording.pcapng"}, exitWrong, []string{"the signal is inverted", "% of them marked as bad", "to do: put one inverter"}},
		{[]string{byHand + "line-pulses/recording.pcapng"}, exitWrong, []string{"most likely (", "servo pulses", "one every 20.0 ms"}},
		{[]string{byHand + "line-parity/recording.pcapng"}, exitWrong, []string{"another parity than the bus has", "to do: the port was set to 100000 8E2"}},
		{[]string{byHand + "silence-never-heard/recording.pcapng"}, exitWrong, []string{"nothing arrives at all", "no character in 4.0 s"}},
		{[]string{byHand + "two-taps/recording.pcapng"}, exitDone, []string{"main: this is a healthy bus", "second: this is a healthy bus"}},
		{[]string{waveforms + "vcd-bus.vcd", "--signal", "bus"}, exitDone, []string{"behind an inverter: this is a healthy bus"}},
		{[]string{"../../testdata/raw/clean.bus"}, exitDone, []string{"this is a healthy bus"}},
		{[]string{"../../testdata/raw/noise.bus"}, exitWrong, []string{"none of the causes that are known"}},
	} {
		code, out, talk := call(t, append([]string{"explain"}, c.args...)...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		for _, want := range c.want {
			assert.Contains(t, out, want, "%v", c.args)
		}
	}
}

func TestExplainSentences(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"no-such-file"}, exitUsage, "it is no port and no file"},
		{[]string{}, exitUsage, "wants a port, a file, or the folder of a session"},
		{[]string{t.TempDir()}, exitUsage, "is no session"},
		{[]string{waveforms + "vcd-bus.vcd"}, exitUsage, "found several signals"},
		{[]string{writeFile(t, "coarse.vcd", "$timescale 10 us $end $var wire 1 ! bus $end $enddefinitions $end #0 0! #1 1! ")}, exitUsage, "too coarse for a bus"},
		{[]string{"../../testdata/byhand/board-heard/recording.pcapng"}, exitDone, ""},
	} {
		code, _, talk := call(t, append([]string{"explain"}, c.args...)...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		assert.Contains(t, talk, c.want, "%v", c.args)
	}
}

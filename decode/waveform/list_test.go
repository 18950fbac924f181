package waveform_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
)

var (
	picosecond  = edge.Rate{Num: 1, Den: 1000}
	femtosecond = edge.Rate{Num: 1, Den: 1_000_000}
)

func TestListHeaders(t *testing.T) {
	for _, c := range []struct {
		header  string
		signals []string
		rate    edge.Rate
		second  int64 // the tick of 2
	}{
		{"time_ns,bus,pwm1", []string{"bus/1", "pwm1/1"}, picosecond, 2000},
		{"Time [s],bus", []string{"bus/1"}, picosecond, 2_000_000_000_000},
		{"t (us);bus;pwm 1", []string{"bus/1", "pwm 1/1"}, picosecond, 2_000_000},
		{"time/ms\tbus", []string{"bus/1"}, picosecond, 2_000_000_000},
		{"time [µs],bus", []string{"bus/1"}, picosecond, 2_000_000},
		{"time [μs],bus", []string{"bus/1"}, picosecond, 2_000_000},
		{"time [\xb5s],bus", []string{"bus/1"}, picosecond, 2_000_000},
		{"seconds,bus", []string{"bus/1"}, picosecond, 2_000_000_000_000},
		{"Time(Sec),bus", []string{"bus/1"}, picosecond, 2_000_000_000_000},
		{"TIME_NS,bus", []string{"bus/1"}, picosecond, 2000},
		{"ps,bus", []string{"bus/1"}, femtosecond, 2000},
		{"t fs,bus", []string{"bus/1"}, femtosecond, 2},
		{`"Time, rounded [ns]" , "a ""bus"", or, not" `, []string{`a "bus", or, not/1`}, picosecond, 2000},
		{"\ufefftime_ns,bus", []string{"bus/1"}, picosecond, 2000},
		{"# a remark, s\n; another\n\n  \n time_ns,bus\r", []string{"bus/1"}, picosecond, 2000},
	} {
		t.Run(c.header, func(t *testing.T) {
			lines := strings.Split(c.header, "\n")
			delimiter := ","
			for _, d := range []string{";", "\t"} {
				if strings.Contains(lines[len(lines)-1], d) {
					delimiter = d
				}
			}
			row := "2" + strings.Repeat(delimiter+"1", len(c.signals)) + "\n"
			got := requireAnyCut(t, c.header+"\n"+row, strings.TrimSuffix(c.signals[0], "/1"))
			require.NoError(t, got.err)
			assert.Equal(t, c.signals, got.signals)
			assert.Equal(t, c.rate, got.rate)
			require.Len(t, got.events, 1)
			assert.Equal(t, edge.Edge{Tick: c.second, Level: edge.High}, got.events[0].Edge)
		})
	}
}

// Which delimiter it is, and which columns are signals.
func TestListColumns(t *testing.T) {
	for _, c := range []struct {
		file    string
		signals []string
	}{
		{"\"Time; rounded [ns]\",bus\n2,1\n", []string{"bus/1"}},
		{"time_ns;bus, left;pwm1\n2;1;0\n", []string{"bus, left/1", "pwm1/1"}},
		{"time_ns\tbus; left\tpwm1\n2\t1\t0\n", []string{"bus; left/1", "pwm1/1"}},
		{"time_ns,,bus, ,pwm1\n2,?,1,?,0\n", []string{"bus/1", "pwm1/1"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			got := requireAnyCut(t, c.file, strings.TrimSuffix(c.signals[0], "/1"))
			require.NoError(t, got.err)
			assert.Equal(t, c.signals, got.signals)
			assert.Equal(t, []string{"bus 2000 high"}, got.text("bus"))
		})
	}
}

func TestListEdges(t *testing.T) {
	for _, c := range []struct {
		name, file string
		want       []string
		cut        bool
	}{
		{"plain", "time_ns,bus,pwm1\n0,1,0\n12.5,0,0\n20,1,1\n", []string{"bus 0 high", "pwm1 0 low", "bus 12500 low", "bus 20000 high", "pwm1 20000 high"}, false},
		{"samples", "time_us,bus,pwm1\n0,1,0\n1,1,0\n2,1,0\n3,0,0\n4,0,0\n", []string{"bus 0 high", "pwm1 0 low", "bus 3000000 low"}, false},
		{"the last row without end", "time_ns,bus,pwm1\n0,1,0\n1,0,1", []string{"bus 0 high", "pwm1 0 low", "bus 1000 low", "pwm1 1000 high"}, false},
		{"half a row at the end", "time_ns,bus,pwm1\n0,1,0\n1,0", []string{"bus 0 high", "pwm1 0 low"}, true},
		{"a row without its last level at the end", "time_ns,bus,pwm1\n0,1,0\n1,0,", []string{"bus 0 high", "pwm1 0 low"}, true},
		{"half a quote at the end", "time_ns,bus,pwm1\n0,1,0\n1,0,\"1", []string{"bus 0 high", "pwm1 0 low"}, true},
		{"half a time at the end", "time_ns,bus,pwm1\n0,1,0\n1e", []string{"bus 0 high", "pwm1 0 low"}, true},
		{"spaces and quotes", "time_ns , bus , pwm1\r\n 0 , 1 , \"0\" \r\n\"1\" ,\" 0 \",0\r\n", []string{"bus 0 high", "pwm1 0 low", "bus 1000 low"}, false},
		{"nothing known", "time_ns,bus,pwm1\n0,,x\n1,z,Z\n2,1,X\n3,1,\n", []string{"bus 0 unknown", "pwm1 0 unknown", "bus 2000 high"}, false},
		{"before zero", "time_ns,bus,pwm1\n-2.5,0,0\n-1,1,0\n+1,0,0\n", []string{"bus -2500 low", "pwm1 -2500 low", "bus -1000 high", "bus 1000 low"}, false},
		{"remarks between", "time_ns,bus,pwm1\n0,1,0\n# a remark\n\n; another\n1,0,0\n#\n", []string{"bus 0 high", "pwm1 0 low", "bus 1000 low"}, false},
		{"decimal commas", "time_us;bus;pwm1\n0,5;1;0\n1,25;0;0\n", []string{"bus 500000 high", "pwm1 500000 low", "bus 1250000 low"}, false},
		{"other columns", "time_ns,volts,bus,,pwm1\n0,3.3,1,?,0\n1,0.1,0,?,0\n", []string{"bus 0 high", "pwm1 0 low", "bus 1000 low"}, false},
		{"the same time", "time_ns,bus,pwm1\n5,1,0\n5,0,0\n", []string{"bus 5000 high", "pwm1 5000 low", "bus 5000 low"}, false},
		{"a header alone", "time_ns,bus,pwm1", nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := requireAnyCut(t, c.file, "bus", "pwm1")
			require.NoError(t, got.err)
			assert.Equal(t, c.want, got.text("bus", "pwm1"))
			assert.Equal(t, c.cut, got.cut)
		})
	}
}

// Times become the nearest tick, exactly, as decimals and with exponents.
func TestListTimes(t *testing.T) {
	for text, want := range map[string]int64{
		"0": 0, "1": 1e12, "0.000001": 1e6, "1e-6": 1e6, "1.5E-06": 1_500_000, "+.5e+0": 5e11, "3.": 3e12, "000.0001": 1e8,
		"0.1": 1e11, "0.3": 3e11, "0.30000000000000004": 3e11, "0.29999999999999999": 3e11, "0.1234567890125": 123456789013, "0.1234567890124": 123456789012,
		"-0.1234567890125": -123456789013, "9223372.036854775807": 9223372036854775807, "9223372.0368547758070000000000000000": 9223372036854775807,
		"0.0000000000005": 1, "0.0000000000004999999999999999999": 0, "1e-12": 1, "1e-300": 0, "1e-99999999999999999999": 0, "0e99999999": 0,
		"123456789012345678901e-20": 1234567890123,
		"1000000000000000000e-27":   1000, "5000000000000000000e-31": 1, "4999999999999999999e-31": 0, "0.00000000000000000000000000000123e30": 1_230_000_000_000,
	} {
		got := read(strings.NewReader("s,bus\n"+text+",1\n"), "bus")
		require.NoError(t, got.err, text)
		assert.Equal(t, want, got.events[0].Tick, text)
	}
}

func TestListRefusals(t *testing.T) {
	const head, times = "time_ns,bus\n", `for a time; want a number that fits 64 bits of ticks, e.g. 12.5 or 1.25e-5`
	for _, c := range []struct{ name, file, want string }{
		{"time goes back", head + "5,1\n 4.9,0\n", `line 3, column 2: found the time "4.9", which is before that of the row above; want times that never decrease`},
		{"no time", head + ",1\n", `line 2, column 1: found "" ` + times},
		{"a time in words", head + "noon,1\n", `line 2, column 1: found "noon" ` + times},
		{"a decimal comma among commas", head + "1,5,1\n", "line 2, column 1: found 3 columns; want 2, as the header has"},
		{"a decimal comma in quotes among commas", head + "\"1,5\",1\n", `line 2, column 2: found "1,5" ` + times},
		{"two points", head + "1.2.3,1\n", `line 2, column 1: found "1.2.3" ` + times},
		{"half an exponent", head + "1e,1\n", `line 2, column 1: found "1e" ` + times},
		{"hexadecimal", head + "0x10,1\n", `line 2, column 1: found "0x10" ` + times},
		{"infinity", head + "inf,1\n", `line 2, column 1: found "inf" ` + times},
		{"a time that does not fit", head + "1e16,1\n", `line 2, column 1: found "1e16" ` + times},
		{"a time of 10^21 ticks", head + "100e16,1\n", `line 2, column 1: found "100e16" ` + times},
		{"a time far too long", head + "1e400,1\n", `line 2, column 1: found "1e400" ` + times},
		{"a level in volts", head + "1,3.3\n", `line 2, column 3: found the level "3.3"; want 0 or 1, or x, z or nothing for unknown`},
		{"another level", head + "1,2\n", `line 2, column 3: found the level "2"; want 0 or 1, or x, z or nothing for unknown`},
		{"more columns at the end", head + "1,1,1", "line 2, column 1: found 3 columns; want 2, as the header has"},
		{"a quote behind a level", head + "1,1\"\n", `line 2, column 3: found the level "1\""; want 0 or 1, or x, z or nothing for unknown`},
		{"an open quote too far", head + "1,1,\"1\n", `line 2, column 3: found a quote that is not closed; want one at both ends`},
		{"an open quote too far at the end", head + "1,1,\"1", `line 2, column 3: found a quote that is not closed; want one at both ends`},
		{"one column", head + "1\n", "line 2, column 1: found one column; want 2, as the header has"},
		{"an open quote", head + "1,\"0\n2,1\n", `line 2, column 3: found a quote that is not closed; want one at both ends`},
		{"no unit", "time,bus\n",
			`line 1, column 1: found the first column "time", whose last word is no unit of time; ` +
				`want e.g. time_ns, Time [s] or t (us), with one of s, ms, us, ns, ps or fs`},
		{"no header", "# r\n0,1\n",
			`line 2, column 1: found the first column "0", whose last word is no unit of time; ` +
				`want e.g. time_ns, Time [s] or t (us), with one of s, ms, us, ns, ps or fs`},
		{"the time alone", "time_ns\n1\n", "line 1, column 1: found one column; want the time and a column for each signal, e.g. time_ns,bus"},
		{"remarks alone", "# time_ns,bus\n", "line 2, column 1: found the end of the file; want a header, e.g. time_ns,bus"},
		{"an unknown signal", head, `found no signal "pwm"; want bus`},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := "bus"
			if strings.Contains(c.want, "no signal") {
				name = "pwm"
			}
			got := requireAnyCut(t, c.file, name)
			require.EqualError(t, got.err, c.want)
		})
	}
}

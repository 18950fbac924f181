package waveform_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/waveform"
)

func TestDumpTells(t *testing.T) {
	got := requireAnyCut(t, begin, "bus")
	require.NoError(t, got.err)
	assert.Equal(t, edge.Nanosecond, got.rate)
	assert.Equal(t, []string{"top.uut.bus/1", "top.uut.pwm1/1", "top.uut.data[7:0]/8", "top.uut.volts/0", "top.copy/1"}, got.signals)
	assert.Empty(t, got.events)
}

func TestDumpEdges(t *testing.T) {
	for _, c := range []struct {
		name, changes string
		want          []string
		cut           bool
	}{
		{"plain", "#0\n0!\n1\"\"\n#10\n1!\n#20\n0!\n0\"\"\n", []string{"bus 0 low", "pwm1 0 high", "bus 10 high", "bus 20 low", "pwm1 20 low"}, false},
		{"the last line without end", "#0\n0!\n#10\n1!", []string{"bus 0 low", "bus 10 high"}, false},
		{"the last line might go on", "#0\n0\"\"\n#10\n1\"", []string{"pwm1 0 low"}, true},
		{"the last time without end", "#0\n0!\n#10", []string{"bus 0 low"}, false},
		{"a value alone at the end", "#0\n0!\n1", []string{"bus 0 low"}, true},
		{"half a vector at the end", "#0\n0!\nb1", []string{"bus 0 low"}, true},
		{"a vector without its code at the end", "#0\n0!\nb1 ", []string{"bus 0 low"}, true},
		{"half a command at the end", "#0\n0!\n$dumpo", []string{"bus 0 low"}, true},
		{"a comment without end", "#0\n0!\n$comment 1! #20", []string{"bus 0 low"}, true},
		{"other line ends", "#0\r\n0!\r\n#10\r\n1!\r\n", []string{"bus 0 low", "bus 10 high"}, false},
		{"all on a line", "#0 0! $dumpvars 1\"\" $end #10 1! b0 \"\" #20", []string{"bus 0 low", "pwm1 0 high", "bus 10 high", "pwm1 10 low"}, false},
		{"before the first time", "$dumpvars\n0!\n$end\n#10\n1!\n", []string{"bus 0 low", "bus 10 high"}, false},
		{"vectors of one bit", "#0\nb0 !\n#5\nB1 !\n#6\nb0001 \"\"\n#7\nbx !\n#8\nb00 !\n",
			[]string{"bus 0 low", "bus 5 high", "pwm1 6 high", "bus 7 unknown", "bus 8 low"}, false},
		{"a vector over two lines", "#0\nb0\n!\n#5\nb1\n\n!\n", []string{"bus 0 low", "bus 5 high"}, false},
		{"nothing known", "#0\nx!\n#1\nX!\n#2\nz!\n#3\n1!\n#4\nZ!\n", []string{"bus 0 unknown", "bus 3 high", "bus 4 unknown"}, false},
		{"levels of IEEE 1164", "#0\nU!\n#1\nL!\n#2\nH!\n#3\n-!\n#4\nl!\n#5\nW!\n",
			[]string{"bus 0 unknown", "bus 1 low", "bus 2 high", "bus 3 unknown", "bus 4 low", "bus 5 unknown"}, false},
		{"others are passed over", "#0\n0!\nb10101010 #\nbxxxxzzzz #\nr1.5e3 %\nsidle %\n#9\n1!\n", []string{"bus 0 low", "bus 9 high"}, false},
		{"repeated values", "#0\n0!\n#1\n0!\n$dumpall 0! 0\"\" $end\n#2\n1!\n", []string{"bus 0 low", "pwm1 1 low", "bus 2 high"}, false},
		{"repeated times", "#7\n0!\n#7\n1!\n#7\n0!\n", []string{"bus 7 low", "bus 7 high", "bus 7 low"}, false},
		{"zeros before times", "#000000000000000000000000000000007\n0!\n#08\n1!\n", []string{"bus 7 low", "bus 8 high"}, false},
		{"long times", "#12345678\n0!\n#1234567890123456\n1!\n#9223372036854775807\n0!\n",
			[]string{"bus 12345678 low", "bus 1234567890123456 high", "bus 9223372036854775807 low"}, false},
		{"off and on", "#0\n0!\n1\"\"\n#5\n$dumpoff\nx!\nx\"\"\n$end\n#9\n$dumpon\n0!\n1\"\"\n$end\n",
			[]string{"bus 0 low", "pwm1 0 high", "bus 5 unknown", "pwm1 5 unknown", "bus 9 low", "pwm1 9 high"}, false},
		{"on without off", "#0\n0!\n1\"\"\n#5\n$dumpon\n0!\n0\"\"\n$end\n", []string{"bus 0 low", "pwm1 0 high", "pwm1 5 low"}, false},
		{"off without values", "#0\n0!\n#5\n$dumpoff $end\n#9\n$dumpon 0! $end\n", []string{"bus 0 low", "bus 5 unknown", "pwm1 5 unknown", "bus 9 low"}, false},
		{"remarks", "#0\n0!\n$comment #99 1! $ends end$end $end\n$version v $end $date d $end\n#5\n1!\n", []string{"bus 0 low", "bus 5 high"}, false},
		{"nothing at all", "", nil, false},
		{"empty lines", "\n\n#0\n\n0!\n\n \t\n", []string{"bus 0 low"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := requireAnyCut(t, begin+c.changes, "bus", "pwm1")
			require.NoError(t, got.err)
			assert.Equal(t, c.want, got.text("bus", "pwm1"))
			assert.Equal(t, c.cut, got.cut)
		})
	}
}

// A header as some tool or other writes it, around a signal with code !.
func TestDumpHeaders(t *testing.T) {
	const end = " $enddefinitions $end\n#0\n1!\n"
	for _, c := range []struct {
		name, header, ask string
		signals           []string
	}{
		{"no scope", "$timescale 1ns $end $var wire 1 ! bus $end", "bus", []string{"bus/1"}},
		{"an index apart", "$timescale 1ns $end $var wire 1 ! name [0] $end", "name[0]", []string{"name[0]/1"}},
		{"an index left away", "$timescale 1ns $end $var wire 1 ! name [0] $end", "name", []string{"name[0]/1"}},
		{"an index at the name", "$timescale 1ns $end $var reg 1 ! name[3] $end", "name[3]", []string{"name[3]/1"}},
		{"an escaped name", `$timescale 1ns $end $scope module \a.b+c $end $var wire 1 ! \bus*2 $end`, "bus*2", []string{"a.b+c.bus*2/1"}},
		{"a name of several words", "$timescale 1ns $end $var wire 1 ! Channel 0 $end", "Channel 0", []string{"Channel 0/1"}},
		{"over lines", "$timescale\n\t1\n\tns\n$end\n$scope\nmodule\nm\n$end\n$var\nwire\n1\n!\nbus\n$end\n$upscope\n$end\n", "m.bus", []string{"m.bus/1"}},
		{"commands of others", "$attrbegin misc 02 x 1 $end $timescale 1ns $end $var wire 1 ! bus $end $attrend $end", "bus", []string{"bus/1"}},
		{"a byte order mark", "\ufeff$timescale 1ns $end $var wire 1 ! bus $end", "bus", []string{"bus/1"}},
		{"types of all kinds", "$timescale 1ns $end $var tri0 1 ! bus $end $var event 1 % e $end $var integer 32 & i $end $var string 1 ' s $end", "bus",
			[]string{"bus/1", "e/0", "i/32", "s/0"}},
		{"a scope too many left", "$timescale 1ns $end $upscope $end $var wire 1 ! bus $end", "bus", []string{"bus/1"}},
		{"a scope without a name", "$timescale 1ns $end $scope begin $end $var wire 1 ! bus $end", "bus", []string{"bus/1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := requireAnyCut(t, c.header+end, c.ask)
			require.NoError(t, got.err)
			assert.Equal(t, c.signals, got.signals)
			assert.Equal(t, []string{"bus 0 high"}, got.text("bus"))
		})
	}
}

func TestTimescales(t *testing.T) {
	for scale, want := range map[string]edge.Rate{
		"1 s": {Num: 1_000_000_000, Den: 1}, "100 s": {Num: 100_000_000_000, Den: 1}, "10ms": {Num: 10_000_000, Den: 1},
		"1us": {Num: 1000, Den: 1}, "100\n us\t": {Num: 100_000, Den: 1}, "1\nns": {Num: 1, Den: 1}, "10 NS": {Num: 10, Den: 1}, "10 ns": {Num: 10, Den: 1},
		"1ps": {Num: 1, Den: 1000}, "10ps": {Num: 1, Den: 100}, "100 ps": {Num: 1, Den: 10},
		"1fs": {Num: 1, Den: 1_000_000}, "10 fs": {Num: 1, Den: 100_000}, "100fs": {Num: 1, Den: 10_000},
	} {
		got := read(strings.NewReader("$timescale " + scale + " $end $enddefinitions $end "))
		require.NoError(t, got.err, scale)
		assert.Equal(t, want, got.rate, scale)
	}
}

// Codes of every length find their own signal, many at a time.
func TestDumpCodes(t *testing.T) {
	var header, changes strings.Builder
	header.WriteString("$timescale 1 ns $end\n")
	codes := []string{"!", "!!", "!!!", "!!!!", "!!!!!!!!", "!!!!!!!!!", "!!!!!!!!!!!!", "~", "a~", "#", "$end1", "b0", "0", "1", "x1"}
	for a := byte('!'); a <= '~'; a++ {
		codes = append(codes, "q"+string(a), "qz"+string(a), "qzz"+string(a))
	}
	for i, code := range codes {
		header.WriteString("$var wire 1 " + code + " s" + string(rune('a'+i%26)) + strings.Repeat("i", i/26) + " $end\n")
		changes.WriteString("1" + code + "\n")
	}
	for i, code := range codes {
		name := "s" + string(rune('a'+i%26)) + strings.Repeat("i", i/26)
		file := header.String() + "$enddefinitions $end\n#0\n0" + code + "\n#1\n" + changes.String()
		got := read(strings.NewReader(file), name)
		require.NoError(t, got.err)
		require.Equal(t, []string{"s 0 low", "s 1 high"}, got.text("s"), code)
	}
}

func TestNames(t *testing.T) {
	const header = `$timescale 1 ns $end
$scope module top $end $var wire 1 ! bus $end $var wire 1 + pwm1 $end $var wire 1 , pwm2 $end
$scope module uut $end $var wire 1 ! bus $end $var wire 1 - clock $end $var wire 8 . wide $end $var real 1 / volts $end $upscope $end
$scope module other $end $var wire 1 0 clock $end $upscope $end
$upscope $end $enddefinitions $end
#0 0! 1+ 0- 1- 1, 1!`
	for name, want := range map[string][]string{
		"bus": {"0 low", "0 high"}, "top.bus": {"0 low", "0 high"}, "top.uut.bus": {"0 low", "0 high"}, "uut.bus": {"0 low", "0 high"},
		"pwm1": {"0 high"}, "uut.clock": {"0 low", "0 high"},
	} {
		got := requireAnyCut(t, header, name)
		require.NoError(t, got.err, name)
		for i, line := range got.text("") {
			assert.Equal(t, " "+want[i], line)
		}
		assert.Len(t, got.events, len(want), name)
	}
	for name, want := range map[string]string{
		"clock":    `found several signals "clock"; want one of them by a longer name: top.uut.clock, top.other.clock`,
		"us":       `found no signal "us"; want top.bus, top.uut.bus`,
		"pwm":      `found no signal "pwm"; want top.pwm1, top.pwm2`,
		"uut.pwm1": `found no signal "uut.pwm1"; want top.pwm1`,
		"BUS":      `found no signal "BUS"; want top.bus, top.uut.bus`,
		"nonsense": `found no signal "nonsense"; want top.bus, top.pwm1, top.pwm2, top.uut.bus, top.uut.clock, top.other.clock`,
		"wide":     `found that top.uut.wide has 8 bits; want a signal of one bit: top.bus, top.pwm1, top.pwm2, top.uut.bus, top.uut.clock, top.other.clock`,
		"volts": `found that top.uut.volts has no levels (a real, a string or an event); want a signal of one bit: ` +
			`top.bus, top.pwm1, top.pwm2, top.uut.bus, top.uut.clock, top.other.clock`,
	} {
		assert.EqualError(t, read(strings.NewReader(header), name).err, want)
	}
	both := read(strings.NewReader(header), "top.bus", "pwm1", "uut.bus")
	assert.ElementsMatch(t, []string{"a 0 low", "c 0 low", "b 0 high", "a 0 high", "c 0 high"}, both.text("a", "b", "c"), "aliases asked for by both names")
}

func TestNamesToChooseFrom(t *testing.T) {
	r, err := waveform.Open(strings.NewReader(begin))
	require.NoError(t, err)
	assert.Equal(t, []string{"top.uut.bus", "top.uut.pwm1"}, waveform.Names(r.Signals()), "no alias, nothing wide")
	assert.Equal(t, "a, b", waveform.Listed([]string{"a", "b"}))
	assert.Equal(t, "1, 2, 3, 4, 5, 6, 7, 8 or one of 2 more", waveform.Listed(strings.Split("1 2 3 4 5 6 7 8 9 10", " ")))
}

func TestDumpRefusals(t *testing.T) {
	for _, c := range []struct{ name, file, want string }{
		{"an undeclared code", begin + "#0\n0!\n#5\n1q\n", `line 17, column 2: found the code "q", which no $var declares; want one that does`},
		{"an undeclared code of a vector", begin + "#0\nb101 qq\n", `line 15, column 6: found the code "qq", which no $var declares; want one that does`},
		{"an undeclared long code", begin + "#0\n1!!!!!!!!!!\n", `line 15, column 2: found the code "!!!!!!!!!!", which no $var declares; want one that does`},
		{"an undeclared code at the end", begin + "#0\n1q", `line 15, column 2: found the code "q", which no $var declares; want one that does`},
		{"time goes back", begin + "#10\n0!\n#9\n1!\n", "line 16, column 1: found time 9 after 10; want times that never decrease"},
		{"a time without digits", begin + "# 10\n", `line 14, column 2: found "#" for a time; want # and digits`},
		{"a time and more", begin + "#10x\n", `line 14, column 4: found "#10x" for a time; want # and digits`},
		{"a time below zero", begin + "#-10\n", `line 14, column 2: found "#-10" for a time; want # and digits`},
		{"a time that does not fit", begin + "#9223372036854775808\n",
			`line 14, column 1: found the time "#9223372036854775808"; want at most 9223372036854775807 ticks`},
		{"a time of 2^64 and 5", begin + "#18446744073709551621\n",
			`line 14, column 1: found the time "#18446744073709551621"; want at most 9223372036854775807 ticks`},
		{"a time far too long", begin + "#123456789012345678901234567890\n",
			`line 14, column 1: found the time "#123456789012345678901234567890"; want at most 9223372036854775807 ticks`},
		{"a space before the code", begin + "#0\n1 !\n", "line 15, column 2: found a value without a code; want the code right behind it"},
		{"a vector for one bit", begin + "#0\nb10 !\n",
			`line 15, column 5: found a value of more than one bit for the code "!", which was declared with one bit; want 0, 1, x or z`},
		{"a real for one bit", begin + "#0\nr1 !\n",
			`line 15, column 4: found a real or a string for the code "!", which was declared with one bit; want 0, 1, x or z`},
		{"a vector of nothing", begin + "#0\nb !\n", "line 15, column 1: found a vector without a value; want digits right behind the b"},
		{"a vector of something else", begin + "#0\nb12 !\n", `line 15, column 1: found the value "b12"; want b and digits 0, 1, x or z`},
		{"a word of another language", begin + "#0\nhello\n", `line 15, column 2: found the code "ello", which no $var declares; want one that does`},
		{"another character", begin + "#0\n?!\n", `line 15, column 1: found "?!"; want a time (#100), a value (0, 1, x, z, b01) or a command ($dumpoff)`},
		{"another command", begin + "#0\n$dumpports p $end\n",
			`line 15, column 1: found the command "$dumpports"; want $dumpvars, $dumpall, $dumpon, $dumpoff, $comment or $end`},
		{"values in the header", "$timescale 1 ns $end\n#0\n",
			`line 2, column 1: found "#0" before $enddefinitions; want a declaration, e.g. $var wire 1 ! bus $end`},
		{"no timescale", "$date $end\n $enddefinitions $end\n", "line 2, column 2: found no $timescale before $enddefinitions; want one, e.g. $timescale 1 ns $end"},
		{"another timescale", "$timescale 5 ns $end\n", `line 1, column 1: found the timescale "5ns"; want 1, 10 or 100 and one of s, ms, us, ns, ps or fs`},
		{"another unit", "$timescale 1 min $end\n", `line 1, column 1: found the timescale "1min"; want 1, 10 or 100 and one of s, ms, us, ns, ps or fs`},
		{"a short $var", "$timescale 1 ns $end\n  $var wire 1 $end\n", "line 2, column 3: found $var wire 1 $end; want " +
			"type, width, code and name: $var wire 1 ! bus $end"},
		{"a $var without a name", "$var wire 1 ! $end\n", "line 1, column 1: found $var wire 1 ! $end; want type, width, code and name: $var wire 1 ! bus $end"},
		{"a width below zero", "$var wire -1 ! bus $end\n", `line 1, column 1: found the width "-1" of a signal; want a number of bits`},
		{"a width that is none", "$var wire one ! bus $end\n", `line 1, column 1: found the width "one" of a signal; want a number of bits`},
		{"ports", "$var port 1 <0 bus $end\n", "line 1, column 1: found an extended dump (of ports); want one of four states, as $dumpvars makes it"},
		{"an endless header", "$timescale 1 ns $end\n$var wire 1 ! bus $end\n",
			"line 3, column 1: found the end of the file within the header; want $enddefinitions $end"},
		{"a scope without end", "$scope module " + strings.Repeat("m ", 100),
			"line 1, column 1: found $scope with more than a declaration needs; want $end behind it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := requireAnyCut(t, c.file, "bus")
			require.EqualError(t, got.err, c.want)
		})
	}
}

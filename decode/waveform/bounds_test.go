package waveform_test

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/waveform"
)

// endless gives a text and then one that is repeated, up to a size, and an end.
type endless struct {
	begin, again, end string
	left, at          int
}

func (e *endless) Read(p []byte) (n int, err error) {
	for n < len(p) {
		switch {
		case e.begin != "":
			k := copy(p[n:], e.begin)
			e.begin, n = e.begin[k:], n+k
		case e.left > 0:
			k := copy(p[n:min(len(p), n+e.left)], e.again[e.at:])
			e.at, n, e.left = (e.at+k)%len(e.again), n+k, e.left-k
		case e.end != "":
			e.begin, e.end = e.end, ""
		default:
			return n, io.EOF
		}
	}
	return n, nil
}

const large = 32 << 20

// Lines and words of any length pass through a fixed amount of memory.
func TestLinesOfAnyLength(t *testing.T) {
	for _, c := range []struct {
		name  string
		file  endless
		edges int
		want  string // error, "" for none
	}{
		{"a dump on one line", endless{begin: strings.ReplaceAll(begin, "\n", " ") + "#0 ", again: "0! 1! ", end: "0!"}, large/6*2 + 2, ""},
		{"a wide vector", endless{begin: begin + "#0\n0!\nb", again: "10", end: " #\n#1\n1!\n"}, 2, ""},
		{"a long string", endless{begin: begin + "#0\n0!\ns", again: "string", end: " %\n#1\n1!\n"}, 2, ""},
		{"a wide vector for one bit", endless{begin: begin + "#0\n0!\nb", again: "10", end: " !\n"}, 1, "of more than one bit for the code"},
		{"a vector without end", endless{begin: begin + "#0\n0!\nb", again: "1"}, 1, ""},
		{"a comment of one word", endless{begin: begin + "#0\n0!\n$comment ", again: "1!", end: " $end\n#1\n1!\n"}, 2, ""},
		{"a comment with an end within a word", endless{begin: begin + "#0\n0!\n$comment ", again: "$end", end: " $end\n#1\n1!\n"}, 2, ""},
		{"a comment in the header", endless{begin: "$comment ", again: "$end", end: " $end " + begin + "#0 0! #1 1! "}, 2, ""},
		{"zeros before a time", endless{begin: begin + "#0\n0!\n#", again: "0", end: "1\n1!\n"}, 1, "line 16, column 1: found a word that does not end"},
		{"a code without end", endless{begin: begin + "#0\n0!\n1", again: "!"}, 1, "line 16, column 1: found a word that does not end"},
		{"a name without end", endless{begin: "$timescale 1 ns $end\n$var wire 1 ! ", again: "name"}, 0, "found the end of the file within the header"},
		{"a header of one word", endless{begin: "$", again: "name", end: " "}, 0, "line 1, column 1: found a word that does not end"},
		{"a declaration without end", endless{begin: "$var wire 1 ! ", again: "name "}, 0, "line 1, column 1: found $var with more than a declaration needs"},
		{"very many signals", endless{begin: "$timescale 1 ns $end\n", again: "$var wire 1 ! b $end\n"}, 0, "found more than 65536 signals"},
		{"very long names", endless{begin: "$timescale 1 ns $end\n", again: "$var wire 1 ! " + strings.Repeat("b", 4000) + " $end\n"}, 0, "found names of more than"},
		{"a row without end", endless{begin: "time_ns,bus\n0,1\n1,", again: "1"}, 1, "line 3, column 1: found a line of more than 131072 characters"},
		{"columns without end", endless{begin: "time_ns,bus\n0,1\n", again: "1,"}, 1, "line 3, column 1: found a line of more than 131072 characters"},
		{"spaces without end", endless{begin: "time_ns,bus\n0,1\n", again: " "}, 1, "line 3, column 1: found a line of more than 131072 characters"},
		{"a long remark in a list", endless{begin: "time_ns,bus\n0,1\n #", again: "1,", end: "\n2,0\n"}, 2, ""},
		{"a header without end", endless{begin: "time_ns", again: ",bus"}, 0, "line 1, column 1: found a line of more than 131072 characters"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.file.left = large - large%len(c.file.again)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			edges, end := count(&c.file, "bus")
			runtime.ReadMemStats(&after)
			if c.want == "" {
				assert.NoError(t, end)
			} else {
				assert.ErrorContains(t, end, c.want)
			}
			assert.InDelta(t, c.edges, edges, 2*float64(c.edges/large)+float64(c.edges/1000))
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(28<<20), "allocated in all")
		})
	}
}

// count is read for files that have more edges than one wants to keep.
func count(in io.Reader, names ...string) (edges int, err error) {
	r, err := waveform.Open(in)
	if err != nil {
		return 0, err
	}
	if err = r.Select(names...); err != nil {
		return 0, err
	}
	for {
		events, err := r.Next()
		edges += len(events)
		if errors.Is(err, io.EOF) {
			return edges, nil
		}
		if err != nil {
			return edges, err
		}
	}
}

// No edge, comment, wide value or row costs an allocation.
func TestNothingIsAllocatedPerEdge(t *testing.T) {
	const bad = "$comment c $end b1010 # r1.5 % x! $dumpoff x! $end 1! "
	for name, file := range map[string]*endless{
		"dump":      {begin: begin, again: "#7\n0!\n1\"\"\n#7\n1!\n0\"\"\n"},
		"dirt":      {begin: begin, again: bad},
		"long code": {begin: "$timescale 1 ns $end $var wire 1 !!!!!!!!!! bus $end $enddefinitions $end ", again: "1!!!!!!!!!! 0!!!!!!!!!! "},
		"list":      {begin: "time_ns,volts,bus\n", again: "7.25e-1,3.3,0\n0.725,2.1,1\n# remark\n\"0.725\",,x\n"},
	} {
		t.Run(name, func(t *testing.T) {
			file.left = 1 << 30
			r, err := waveform.Open(file)
			require.NoError(t, err)
			require.NoError(t, r.Select("bus"))
			assert.Zero(t, testing.AllocsPerRun(200, func() {
				if _, err := r.Next(); err != nil {
					panic(err)
				}
			}))
			assert.Greater(t, r.Account().Edges, int64(50_000))
		})
	}
}

// A file cut anywhere gives the beginning of what the whole one gives, or a
// sentence; never another edge.
func TestEveryPrefix(t *testing.T) {
	dump := begin + "#0\n$dumpvars\n0!\nb1 \"\"\nbx #\nr0 %\n$end\n#10\n1!\n#123\n0\"\"\nb0101 #\n$comment 1! $end\n" +
		"#200\n$dumpoff\nx! x\"\"\n$end\n#220\n$dumpon\n1!\n1\"\"\n$end\n#300 b0 ! 0\"\"\n"
	list := "# made by hand\ntime_us;bus;\"pwm;1\";pwm1\r\n-1,5;0;0;1\n0,25;1;0;x\n; remark\n1,5e1;0;1;\"1\"\n20;1;0;\n"
	for _, file := range []string{dump, list} {
		whole := requireAnyCut(t, file, "bus", "pwm1")
		require.NoError(t, whole.err)
		require.GreaterOrEqual(t, len(whole.events), 7)
		for n := range file {
			got := requireAnyCut(t, file[:n], "bus", "pwm1")
			require.LessOrEqual(t, len(got.events), len(whole.events))
			require.True(t, slices.Equal(whole.events[:len(got.events)], got.events), file[:n])
			if got.err != nil {
				require.Empty(t, got.events, "only a header that is cut is an error: %v", got.err)
			}
		}
	}
}

// Places are right whatever was let go before them.
func TestPlacesFarIntoTheFile(t *testing.T) {
	var file strings.Builder
	file.WriteString(begin)
	for i := range 40_000 {
		fmt.Fprintf(&file, "#%d 0! 1!\n", i)
	}
	file.WriteString("#50000 1? 1!\n")
	want := `line 40014, column 9: found the code "?", which no $var declares; want one that does`
	assert.EqualError(t, read(strings.NewReader(file.String()), "bus").err, want)
	assert.EqualError(t, read(iotest.OneByteReader(strings.NewReader(file.String())), "bus").err, want)
	list := "time_ns,bus\n" + strings.Repeat("1,0\n1,1\n", 60_000) + "1,?\n"
	assert.ErrorContains(t, read(strings.NewReader(list), "bus").err, "line 120002, column 3: ")
}

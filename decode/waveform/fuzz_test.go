package waveform_test

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/waveform"
)

// seeds adds the files of a kind that lie beside the goldens.
func seeds(f *testing.F, pattern string) {
	files, err := filepath.Glob(filepath.Join(folder, pattern))
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, name := range files {
		file, err := os.ReadFile(name)
		require.NoError(f, err)
		if len(file) < 4096 {
			f.Add(string(file))
		}
	}
}

// FuzzVCD: whatever the bytes, reading ends with the same result however they are
// cut, and what it gives are edges.
func FuzzVCD(f *testing.F) {
	seeds(f, "vcd-*.vcd")
	f.Add(begin + "#0 0! b1 \"\" #10 1! $dumpoff x! $end #20 0!")
	f.Add(begin + "b0\n")
	f.Add("$timescale 1 fs $end $enddefinitions $end")
	f.Fuzz(func(t *testing.T, file string) { requireEdges(t, file) })
}

// FuzzCSV is the same for lists.
func FuzzCSV(f *testing.F) {
	seeds(f, "csv-*.csv")
	f.Add("time_ns,bus\n0,1\n1e0,0\n")
	f.Add("t (us);bus\n-0,5;x\n\"1,5\";\"1\"")
	f.Add("s\t\"a\"\n")
	f.Fuzz(func(t *testing.T, file string) { requireEdges(t, file) })
}

func requireEdges(t *testing.T, file string) {
	names := oneBit(file)
	got := requireAnyCut(t, file, names...)
	if got.err != nil {
		var at *waveform.Error
		require.True(t, errors.As(got.err, &at), "%v", got.err)
		require.Positive(t, at.Line)
		require.Positive(t, at.Column)
		require.LessOrEqual(t, at.Line, int64(1+strings.Count(file, "\n")))
	}
	last := map[int]edge.Edge{}
	for _, e := range got.events {
		before, seen := last[e.Signal]
		require.False(t, seen && (before.Tick > e.Tick || before.Level == e.Level), "%v after %v", e, before)
		require.LessOrEqual(t, e.Level, edge.Unknown)
		last[e.Signal] = e.Edge
	}
	if got.err != nil || len(file) > 60 {
		return
	}
	for n := range file {
		part := read(strings.NewReader(file[:n]), names...)
		require.LessOrEqual(t, len(part.events), len(got.events), file[:n])
		require.True(t, slices.Equal(got.events[:len(part.events)], part.events), file[:n])
	}
}

// oneBit lists the signals of a file that can be asked for.
func oneBit(file string) (names []string) {
	r, err := waveform.Open(strings.NewReader(file))
	if err != nil {
		return nil
	}
	signals := r.Signals()
	for i := range signals {
		if path := signals[i].Path(); r.Select(path) == nil {
			names = append(names, path)
		}
	}
	return names
}

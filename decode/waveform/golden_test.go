package waveform_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/waveform"
)

const folder = "../../testdata/waveforms"

// The files of the folder yield what somebody has read and found right.
func TestGoldens(t *testing.T) {
	var files []string
	for _, pattern := range []string{"vcd-*.vcd", "csv-*.csv"} {
		found, err := filepath.Glob(filepath.Join(folder, pattern))
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.Len(t, files, 6)
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			file, err := os.ReadFile(path)
			require.NoError(t, err)
			names := slices.DeleteFunc(oneBit(string(file)), func(name string) bool { return name == "volts" })
			got := requireAnyCut(t, string(file), names...)
			require.NoError(t, got.err)
			text := fmt.Sprintf("a tick is %d/%d ns\nsignals: %s\n%s\n", got.rate.Num, got.rate.Den,
				strings.Join(got.signals, ", "), strings.Join(got.text(names...), "\n"))
			requireGolden(t, strings.TrimSuffix(path, filepath.Ext(path))+".edges", text)
		})
	}
}

func requireGolden(t *testing.T, path, got string) {
	t.Helper()
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "make it with: make golden")
	require.Equal(t, string(want), got)
}

// The dump and the list of one line, inverted here and not there, agree.
func TestTwoFormatsAgree(t *testing.T) {
	dump, list := readFile(t, "vcd-bus.vcd", "bus", "pwm1"), readFile(t, "csv-bus.csv", "bus", "pwm1")
	require.NotEmpty(t, dump.events)
	require.Len(t, list.events, len(dump.events))
	for i, e := range dump.events {
		if e.Signal == 0 {
			e.Level = e.Level.Not()
		}
		assert.Equal(t, list.events[i], e)
	}
}

func readFile(t *testing.T, name string, names ...string) reading {
	f, err := os.Open(filepath.Join(folder, name))
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	out := read(f, names...)
	require.NoError(t, out.err)
	return out
}

func ExampleReader() {
	r, err := waveform.Open(strings.NewReader("time_us,bus,pwm1\n0,1,0\n10,0,0\n30,1,1\n"))
	if err != nil {
		panic(err)
	}
	if err := r.Select("bus"); err != nil {
		panic(err)
	}
	for {
		events, err := r.Next()
		if err != nil {
			break // io.EOF
		}
		for _, e := range events {
			fmt.Println(r.Rate().Nanos(e.Tick), e.Level)
		}
	}
	// Output:
	// 0 high
	// 10000 low
	// 30000 high
}

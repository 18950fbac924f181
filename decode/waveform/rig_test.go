package waveform_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/waveform"
)

// reading is all that a file yields.
type reading struct {
	rate    edge.Rate
	signals []string
	events  []waveform.Event
	cut     bool
	err     error // nil at a clean end
}

// read reads a file for the named signals, all of one bit when none is named.
func read(in io.Reader, names ...string) (out reading) {
	r, err := waveform.Open(in)
	if err != nil {
		return reading{err: err}
	}
	out.rate = r.Rate()
	signals := r.Signals()
	for i := range signals {
		out.signals = append(out.signals, fmt.Sprintf("%s/%d", signals[i].Path(), signals[i].Bits))
	}
	if out.err = r.Select(names...); out.err != nil {
		return out
	}
	for {
		events, err := r.Next()
		out.events = append(out.events, events...)
		if err != nil {
			out.cut = r.Account().Cut
			if !errors.Is(err, io.EOF) {
				out.err = err
			}
			return out
		}
	}
}

// text is the edges as words: "bus 10 high".
func (r *reading) text(names ...string) (out []string) {
	for _, e := range r.events {
		out = append(out, fmt.Sprintf("%s %d %v", names[e.Signal], e.Tick, e.Level))
	}
	return out
}

// requireAnyCut reads a file whole and in pieces of every size that makes a
// difference; all must give the same.
func requireAnyCut(t *testing.T, file string, names ...string) reading {
	t.Helper()
	want := read(strings.NewReader(file), names...)
	require.Equal(t, want, read(iotest.OneByteReader(strings.NewReader(file)), names...), file)
	require.Equal(t, want, read(iotest.HalfReader(strings.NewReader(file)), names...), file)
	require.Equal(t, want, read(iotest.DataErrReader(strings.NewReader(file)), names...), file)
	return want
}

// begin is a header with two lines of one bit and other things.
const begin = `$date today $end
$version a tool $end
$timescale 1 ns $end
$scope module top $end
$scope module uut $end
$var wire 1 ! bus $end
$var wire 1 "" pwm1 $end
$var wire 8 # data [7:0] $end
$var real 64 % volts $end
$upscope $end
$var wire 1 ! copy $end
$upscope $end
$enddefinitions $end
`

// failing is a reader that ends with an error.
type failing struct {
	r   io.Reader
	err error
}

func (f *failing) Read(p []byte) (int, error) {
	n, err := f.r.Read(p)
	if err == io.EOF {
		err = f.err
	}
	return n, err
}

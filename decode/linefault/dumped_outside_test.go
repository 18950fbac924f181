//go:build outside

package linefault_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
	"benchproof.example/decode/uart"
	"benchproof.example/decode/waveform"
)

// dumped is a signal of a value change dump, which a simulator wrote.
func dumped(t *testing.T, path, signal string) linesim.Line {
	t.Helper()
	dump, err := os.ReadFile(path)
	require.NoError(t, err)
	r, err := waveform.Open(bytes.NewReader(dump))
	require.NoError(t, err)
	require.NoError(t, r.Select(signal))
	var l linesim.Line
	for {
		events, err := r.Next()
		for i := range events {
			e := events[i].Edge
			e.Tick = r.Rate().Nanos(e.Tick)
			l.Edges = append(l.Edges, e)
		}
		if errors.Is(err, io.EOF) {
			return again(l, r.Rate().Nanos(r.Account().Last))
		}
		require.NoError(t, err)
	}
}

// again plays a line that lasts so long over and over, ns, until there is enough of it.
func again(once linesim.Line, lasts int64) (l linesim.Line) {
	for l.End = span; len(once.Edges) > 0; {
		for i, e := range once.Edges {
			if e.Tick >= span {
				return l
			}
			l.Edges = append(l.Edges, e)
			once.Edges[i].Tick += lasts
		}
	}
	return l
}

// findings are what is found on a line that a port reads, one for each way of marking with which
// the cause can be seen.
func findings(t *testing.T, l linesim.Line, port uart.Format, cause linefault.Cause) (out []linefault.Finding) {
	t.Helper()
	chars, err := linesim.Receive(l, port)
	require.NoError(t, err)
	s := situation{cause: cause}
	for marks := range linesim.AllMarks {
		if s.readable(marks) {
			continue
		}
		f := linefault.Judge(protocol().Name, heard(s.reads(chars, marks, 1, 1), 0), l.End)
		t.Logf("marks %v: %d characters in %d ms: %+v", marks, len(chars), l.End/ms, f)
		out = append(out, f)
	}
	return out
}

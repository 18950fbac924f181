package waveform_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/waveform"
)

func TestOtherKindsOfFile(t *testing.T) {
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err := w.Write([]byte(begin))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	const want = "; want a value change dump (VCD, begins with $) or a list of edges (CSV)"
	for _, c := range []struct {
		name, file, found string
		kind              waveform.Kind
	}{
		{"nothing", "", "an empty file", waveform.Unknown},
		{"spaces", " \r\n\t", "nothing but spaces", waveform.Unknown},
		{"a program", "\x7fELF\x02\x01\x01\x00\x00", "a program (ELF)", waveform.Foreign},
		{"gzip", packed.String(), "compressed bytes (gzip), which must be unpacked first", waveform.Foreign},
		{"pcapng", "\x0a\x0d\x0d\x0a\x1c\x00\x00\x00", "a capture of packets (pcapng)", waveform.Foreign},
		{"UTF-16", "\xff\xfe$\x00d\x00a\x00t\x00e\x00", "UTF-16 text, which must be saved as UTF-8", waveform.Foreign},
		{"the other UTF-16", "\xfe\xff\x00$\x00d\x00a\x00t", "UTF-16 text, which must be saved as UTF-8", waveform.Foreign},
		{"HTML", "\n<!DOCTYPE html>\n<html>", "markup (HTML or XML)", waveform.Foreign},
		{"bytes that begin like markup", "<\x0f\x00", "bytes that are no text", waveform.Unknown},
		{"bytes that begin like UTF-16", "\xff\xfe\x0f\x00\xff\xfe\x0f\x10\xff\xfe\x0f", "bytes that are no text", waveform.Unknown},
		{"bytes", "\x0f\x00\x10\x20", "bytes that are no text", waveform.Unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			kind, found := waveform.Sniff([]byte(c.file))
			assert.Equal(t, c.kind, kind)
			assert.Equal(t, c.found, found)
			got := requireAnyCut(t, c.file)
			require.EqualError(t, got.err, "line 1, column 1: found "+c.found+want)
			var place *waveform.Error
			require.ErrorAs(t, got.err, &place)
		})
	}
	for file, want := range map[string]waveform.Kind{begin: waveform.VCD, "\ufeff $date": waveform.VCD, "time_ns,bus": waveform.CSV, "{}": waveform.CSV} {
		kind, what := waveform.Sniff([]byte(file))
		assert.Equal(t, want, kind, file)
		assert.Empty(t, what)
	}
}

// A disk that fails is reported as such, behind the edges before it; the word or row
// that it broke off is not read.
func TestReadErrors(t *testing.T) {
	broken := errors.New("broken")
	for file, edges := range map[string]int{begin + "#0\n0!\n#1\n1!": 1, "time_ns,bus\n0,1\n1,0": 1, begin[:50]: 0, "time_": 0, "": 0} {
		for _, in := range []string{"at once", "byte by byte"} {
			r := iotest.OneByteReader(strings.NewReader(file))
			if in == "at once" {
				r = strings.NewReader(file)
			}
			got := read(&failing{r, broken}, "bus")
			assert.ErrorIs(t, got.err, broken)
			assert.Len(t, got.events, edges)
		}
	}
}

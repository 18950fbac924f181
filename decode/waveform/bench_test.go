package waveform_test

import (
	"bufio"
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"benchproof.example/decode/waveform"
)

// BenchmarkDump reads edges beside a scanner of lines, the plain way.
func BenchmarkDump(b *testing.B) {
	var file bytes.Buffer
	file.WriteString(begin)
	for t := 1_000_000; file.Len() < 32<<20; t += 83_333 {
		fmt.Fprintf(&file, "#%d\n%d!\n", t, t&1)
	}
	b.Run("ours", func(b *testing.B) {
		b.SetBytes(int64(file.Len()))
		for b.Loop() {
			edges, err := count(bytes.NewReader(file.Bytes()), "bus")
			if err != nil || edges < 1_000_000 {
				b.Fatal(edges, err)
			}
		}
	})
	b.Run("yardstick-line-scanner", func(b *testing.B) {
		b.SetBytes(int64(file.Len()))
		for b.Loop() {
			edges, err := scanLines(file.Bytes())
			if err != nil || edges < 1_000_000 {
				b.Fatal(edges, err)
			}
		}
	})
}

func scanLines(file []byte) (edges int, err error) {
	var tick int64
	var last string
	s := bufio.NewScanner(bytes.NewReader(file))
	for s.Scan() {
		switch line := s.Text(); {
		case strings.HasPrefix(line, "#"):
			if tick, err = strconv.ParseInt(line[1:], 10, 64); err != nil {
				return edges, err
			}
		case strings.HasSuffix(line, "!") && line[:1] != last && tick >= 0:
			last = line[:1]
			edges++
		}
	}
	return edges, s.Err()
}

// BenchmarkList reads the edges of a list.
func BenchmarkList(b *testing.B) {
	var file bytes.Buffer
	file.WriteString("time_us,bus,pwm1\n")
	for t := 0; file.Len() < 16<<20; t++ {
		fmt.Fprintf(&file, "%d.%03d,%d,0\n", t*83, t%1000, t&1)
	}
	b.SetBytes(int64(file.Len()))
	b.ReportAllocs()
	for b.Loop() {
		r, err := waveform.Open(bytes.NewReader(file.Bytes()))
		if err != nil || r.Select("bus", "pwm1") != nil {
			b.Fatal(err)
		}
		for err == nil {
			_, err = r.Next()
		}
	}
}

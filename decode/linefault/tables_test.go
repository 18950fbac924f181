package linefault_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
)

const trained = 120 // lines for each line of the tables

// predicted is the text of the tables, made by lines of seeds of their own; of each so many
// situations one.
func predicted(t testing.TB, each int) string {
	var text strings.Builder
	for i, s := range situations() {
		if i%each != 0 {
			continue
		}
		var counts [linesim.AllMarks][linefault.Features][linefault.Classes]float64
		for n := range uint64(trained) {
			chars := s.received(t, n, uint64(i))
			for marks := range counts {
				h := heard(s.reads(chars, linesim.Marks(marks), n, uint64(i)), 0)
				if h.Chars == 0 {
					continue
				}
				for f, class := range linefault.FeaturesOf(h, span) {
					counts[marks][f][class]++
				}
			}
		}
		for marks := range linesim.AllMarks {
			if s.readable(marks) {
				continue
			}
			fmt.Fprintf(&text, "%s %s %s %s", protocol().Name, s.cause, s.detail, strings.ReplaceAll(marks.String(), " ", "_"))
			for f := range counts[marks] {
				text.WriteString(" " + costs(&counts[marks][f]))
			}
			text.WriteString("\n")
		}
	}
	return text.String()
}

// costs writes what each class costs: near one that occurred less than elsewhere.
func costs(counts *[linefault.Classes]float64) string {
	var smooth [linefault.Classes]float64
	sum := 0.0
	for i := range counts {
		smooth[i] = counts[i] + 0.15
		if i > 0 {
			smooth[i] += float64(0.08 * counts[i-1])
		}
		if i+1 < len(counts) {
			smooth[i] += float64(0.08 * counts[i+1])
		}
		sum += smooth[i]
	}
	word := make([]byte, len(counts))
	for i, n := range smooth {
		word[i] = '0' + byte(math.Round(4*math.Log2(sum/n)))
	}
	return string(word)
}

// The tables are what the lines give; some of them are looked at each time, all when they
// are made anew.
func TestTablesAreThoseOfTheLines(t *testing.T) {
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile("tables.txt", []byte(predicted(t, 1)), 0o600))
		return
	}
	got, err := os.ReadFile("tables.txt")
	require.NoError(t, err)
	for line := range strings.Lines(predicted(t, 13)) {
		assert.Contains(t, string(got), line, "make it anew with BENCHPROOF_REWRITE=1")
	}
}

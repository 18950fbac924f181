package world_test

import (
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

// boardLine is one line of a board as this test reads it.
type boardLine struct {
	at      int64 // when its last character was handed over
	seq     int64
	output  int
	rise    int64 // ticks
	width   int64 // ns of the board's clock
	about   bool  // it describes the board: dropped counts
	dropped int64
}

var (
	pulseLine = regexp.MustCompile(`^\$(PBPX,([0-9A-F]+),([0-9]+),([0-9A-F]+),([0-9A-F]+))\*([0-9A-F]{2})\r\n$`)
	aboutLine = regexp.MustCompile(`^\$(PBPI,leads,500,([0-9]+),([0-9]+))\*([0-9A-F]{2})\r\n$`)
)

// lines reads what the board of a tap printed, and how many lines were refused.
func boardLines(t testing.TB, h simtest.Played, tap int) (all []boardLine, refused int) {
	t.Helper()
	var line []byte
	for _, d := range h.Deliveries {
		if d.Tap != tap {
			continue
		}
		require.False(t, d.Bad)
		for _, b := range d.Data {
			if b == '$' && len(line) > 0 { // cut off
				line, refused = line[:0], refused+1
			}
			if line = append(line, b); b != '\n' {
				continue
			}
			if l, ok := readLine(string(line)); ok {
				l.at = d.At
				all = append(all, l)
			} else {
				refused++
			}
			line = line[:0]
		}
	}
	return all, refused
}

func readLine(line string) (boardLine, bool) {
	if m := pulseLine.FindStringSubmatch(line); m != nil && sum(m[1]) == m[6] {
		return boardLine{seq: number(m[2], 16), output: int(number(m[3], 10)), rise: number(m[4], 16), width: 500 * number(m[5], 16)}, true
	}
	if m := aboutLine.FindStringSubmatch(line); m != nil && sum(m[1]) == m[4] {
		return boardLine{about: true, dropped: number(m[3], 10)}, true
	}
	return boardLine{}, false
}

func number(digits string, base int) int64 {
	n, err := strconv.ParseInt(digits, base, 64)
	if err != nil {
		return -1
	}
	return n
}

func sum(text string) string {
	var x byte
	for i := range len(text) {
		x ^= text[i]
	}
	return string("0123456789ABCDEF"[x>>4]) + string("0123456789ABCDEF"[x&15])
}

// seen are the widths of one output whose pulses ended in [from, to), ns.
func seen(h simtest.Played, output int, from, to int64) (some []int64) {
	for _, p := range h.Sim.Pulses() {
		if end := p.Rise + p.Width; p.Output == output && from <= end && end < to {
			some = append(some, p.Width)
		}
	}
	return some
}

// mean of widths, us; no widths fail the test.
func mean(t testing.TB, some []int64) float64 {
	t.Helper()
	require.NotEmpty(t, some)
	var all int64
	for _, w := range some {
		all += w
	}
	return float64(all) / float64(len(some)) / float64(us)
}

func spreadOf(some []int64) int64 { return slices.Max(some) - slices.Min(some) }

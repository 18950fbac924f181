package unit

import (
	"fmt"
	"strings"
)

// FormatWidth is a pulse width in µs, with a decimal where there is one.
func FormatWidth(w Width) string {
	if w%1000 == 0 {
		return fmt.Sprintf("%d µs", w/1000)
	}
	return fmt.Sprintf("%.1f µs", float64(w)/1000)
}

// FormatDuration is a length of time, short.
func FormatDuration(d Duration) string {
	switch a := Abs(d); {
	case a < 100*Millisecond:
		return fmt.Sprintf("%.1f ms", float64(d)/1e6)
	case a < 60*Second:
		return fmt.Sprintf("%.2f s", float64(d)/1e9)
	default:
		return clock(int64(d / Millisecond))
	}
}

// FormatSpan is a length of time as people say it, rounded down: "126 h", "3 h 12 min",
// "14 min", "52 s".
func FormatSpan(d Duration) string {
	const hour = 60 * Minute
	h, m := d/hour, d%hour/Minute
	parts := []string{}
	if h > 0 {
		parts = append(parts, fmt.Sprintf("%d h", h))
	}
	if m > 0 && h < 100 {
		parts = append(parts, fmt.Sprintf("%d min", m))
	}
	if len(parts) == 0 {
		return fmt.Sprintf("%d s", d/Second)
	}
	return strings.Join(parts, " ")
}

// FormatClock is bench time as minutes, seconds and milliseconds, with hours in front
// from one hour on.
func FormatClock(t Time) string { return clock(int64(t) / int64(Millisecond)) }

func clock(ms int64) string {
	s := fmt.Sprintf("%d:%02d.%03d", ms/60_000%60, ms/1000%60, ms%1000)
	if h := ms / 3_600_000; h > 0 {
		s = fmt.Sprintf("%d:%02d:%02d.%03d", h, ms/60_000%60, ms/1000%60, ms%1000)
	}
	return s
}

package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
)

func TestSlips(t *testing.T) {
	for _, row := range []struct {
		from, to string
		want     int
	}{
		{"", "", 0}, {"rest", "rest", 0}, {"", "rest", 4}, {"rest", "", 4}, {"reset", "rest", 1}, {"rst", "rest", 1},
		{"rust", "rest", 1}, {"erst", "rest", 1}, {"höhe", "hohe", 1}, {"kitten", "sitting", 3},
	} {
		assert.Equal(t, row.want, slips(row.from, row.to), "%s to %s", row.from, row.to)
	}
}

func TestSuggest(t *testing.T) {
	known := []string{"roll", "pitch", "yaw"}
	assert.Equal(t, "pitch", suggest("picth", known))
	assert.Equal(t, "one of roll, pitch, yaw", suggest("heading", known))
	assert.Equal(t, "nothing", suggest("roll", nil))
}

func TestMicros(t *testing.T) {
	for ns, want := range map[unit.Width]string{0: "0 us", 1_500_000: "1500 us", 1_500_500: "1500.5 us", 625: "0.625 us", -1_000: "-1 us", 100_000: "100 us"} {
		assert.Equal(t, want, micros(ns))
	}
}

func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		text   string
		digits int
		want   int64
		ok     bool
	}{
		{"1500", 3, 1_500_000, true}, {"-0.5", 6, -500_000, true}, {"0.1", 4, 1_000, true}, {"1.50", 1, 15, true}, {"999999999", 9, 999_999_999_000_000_000, true},
		{"1.25", 1, 0, false}, {"010", 0, 0, false}, {"", 0, 0, false}, {"1e3", 3, 0, false}, {"+1", 0, 0, false},
		{"1.", 3, 0, false}, {"9999999999", 0, 0, false}, {"１", 0, 0, false},
	} {
		got, ok := decimal(row.text, row.digits)
		assert.Equal(t, row.ok, ok, row.text)
		assert.Equal(t, row.want, got, row.text)
	}
}

package uart_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// What is just allowed, and what is just not. A bit of 1 baud lasts for
// 10⁹ = 2⁹·5⁹ ns; at ticks of 5⁹/2²⁹ ns that is 2³⁸ of them.
func TestFormatsAtTheirLimits(t *testing.T) {
	five9 := int64(1_953_125)
	for _, c := range []struct {
		name   string
		format uart.Format
		rate   edge.Rate
		want   string // in the refusal, "": allowed
	}{
		{"five bits", uart.Format{Baud: 9600, Data: 5, Stop: 1}, edge.Nanosecond, ""},
		{"four bits", uart.Format{Baud: 9600, Data: 4, Stop: 1}, edge.Nanosecond, "data bits"},
		{"eight bits", plainly(9600), edge.Nanosecond, ""},
		{"nine bits", uart.Format{Baud: 9600, Data: 9, Stop: 1}, edge.Nanosecond, "data bits"},
		{"odd", uart.Format{Baud: 9600, Data: 8, Parity: uart.Odd, Stop: 1}, edge.Nanosecond, ""},
		{"beyond odd", uart.Format{Baud: 9600, Data: 8, Parity: uart.Odd + 1, Stop: 1}, edge.Nanosecond, "the parity"},
		{"no stop bit", uart.Format{Baud: 9600, Data: 8}, edge.Nanosecond, "stop bits"},
		{"two stop bits", uart.Format{Baud: 9600, Data: 8, Stop: 2}, edge.Nanosecond, ""},
		{"three stop bits", uart.Format{Baud: 9600, Data: 8, Stop: 3}, edge.Nanosecond, "stop bits"},
		{"one baud", plainly(1), edge.Nanosecond, ""},
		{"no baud", plainly(0), edge.Nanosecond, "0 baud"},
		{"a gigabaud", plainly(1_000_000_000), edge.Rate{Num: 1, Den: 100}, ""},
		{"above a gigabaud", plainly(1_000_000_001), edge.Rate{Num: 1, Den: 100}, "1000000001 baud"},
		{"a tick of nothing", plainly(9600), edge.Rate{Num: 0, Den: 1}, "both above 0"},
		{"a tick of ages", plainly(9600), edge.Rate{Num: 1, Den: 0}, "both above 0"},
		{"a tick backwards", plainly(9600), edge.Rate{Num: -1, Den: 1}, "both above 0"},
		{"four ticks in a bit", plainly(250_000), edge.Rate{Num: 1000, Den: 1}, ""},
		{"hardly four ticks in a bit", plainly(250_001), edge.Rate{Num: 1000, Den: 1}, "4 of them"},
		{"2^38 ticks in a bit", plainly(1), edge.Rate{Num: five9, Den: 1 << 29}, ""},
		{"more than 2^38 ticks in a bit", plainly(1), edge.Rate{Num: five9 - 1, Den: 1 << 29}, "4 of them"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.format.Check(c.rate)
			if c.want == "" {
				assert.NoError(t, err)
				return
			}
			assert.ErrorContains(t, err, c.want)
		})
	}
}

func TestFormatsInWords(t *testing.T) {
	assert.Equal(t, "9600 7E1", uart.Format{Baud: 9600, Data: 7, Parity: uart.Even, Stop: 1}.String())
	assert.Equal(t, "300 5O2 inverted", uart.Format{Baud: 300, Data: 5, Parity: uart.Odd, Stop: 2, Inverted: true}.String())
	assert.Equal(t, "115200 8N1", plainly(115_200).String())
}

// Times of characters by bits and baud, by hand: 12 bits of 10 µs, 10 of 1/115200 s.
func TestTimesOfCharacters(t *testing.T) {
	assert.Equal(t, 12, servoBus.CharBits())
	assert.Equal(t, int64(120_000), servoBus.Nanos(servoBus.CharBits()))
	plain := uart.Format{Baud: 115_200, Data: 8, Stop: 1}
	assert.Equal(t, 10, plain.CharBits())
	assert.Equal(t, int64(86_806), plain.Nanos(plain.CharBits()), "86805.6")
	assert.Equal(t, int64(78_125), plain.Nanos(9))
	assert.Zero(t, plain.Nanos(0))
}

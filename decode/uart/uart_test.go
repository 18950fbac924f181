package uart_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/edge"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
)

var rates = map[string]edge.Rate{
	"1 ns": edge.Nanosecond, "10 ps": {Num: 1, Den: 100}, "125 ns": {Num: 125, Den: 1}, "41.67 ns": {Num: 1000, Den: 24},
}

// Every byte in every format, at both polarities, comes out as it went in.
func TestEveryFormat(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for name, rate := range rates {
		for _, baud := range []int64{9600, 100_000, 115_200, 500_000} {
			for data := 5; data <= 8; data++ {
				for parity := uart.None; parity <= uart.Odd; parity++ {
					for stop := 1; stop <= 2; stop++ {
						f := uart.Format{Baud: baud, Data: data, Parity: parity, Stop: stop, Inverted: (data+stop)%2 == 0}
						text := anyBytes(rng, 300)
						edges, end := sent(t, rate, f, text, 0, 0, nil)
						list := decoded(t, rate, f, edges, end)
						require.Len(t, list, len(text), "%v, %s", f, name)
						for i, c := range list {
							require.False(t, c.Bad(), "%v, %s", f, name)
							require.Equal(t, text[i]&(1<<data-1), c.Byte, "%v, %s", f, name)
						}
					}
				}
			}
		}
	}
}

// Exact at a clock that is off by 2 % with 0.3 µs of jitter, and at 1 µs of jitter, on
// a servo bus; at other rates with as much of a bit.
func TestClockAndJitter(t *testing.T) {
	for _, f := range []uart.Format{servoBus, {Baud: 100_000, Data: 8, Parity: uart.Odd, Stop: 1}, plainly(115_200), plainly(500_000)} {
		for _, c := range []struct{ ppm, jitter int64 }{{20_000, 300}, {-20_000, 300}, {0, 1000}} {
			jitter := c.jitter * 100_000 / f.Baud
			t.Run(fmt.Sprintf("%v/%d ppm, %d ns", f, c.ppm, jitter), func(t *testing.T) {
				for seed := range uint64(20) {
					rng := rand.New(rand.NewPCG(seed, 3))
					text := anyBytes(rng, 2000)
					edges, end := sent(t, edge.Nanosecond, f, text, c.ppm, jitter, rng)
					list := decoded(t, edge.Nanosecond, f, edges, end)
					require.Len(t, list, len(text), "seed %d", seed)
					for i := range list {
						require.False(t, list[i].Bad(), "seed %d, character %d: %+v", seed, i, list[i])
						require.Equal(t, text[i], list[i].Byte, "seed %d, character %d", seed, i)
					}
				}
			})
		}
	}
}

// Ticks from a quarter of a bit to a femtosecond, which is as fine as IEEE 1364 goes:
// exact at a clock that is off by 2 % all the same, but where ticks of a quarter of a
// bit leave no room for that.
func TestFineAndCoarseTicks(t *testing.T) {
	for _, rate := range []edge.Rate{{Num: 1, Den: 1_000_000}, {Num: 1, Den: 1000}, {Num: 3, Den: 7}, {Num: 1000, Den: 1}} {
		for _, baud := range []int64{4800, 9600, 57_600, 100_000, 115_200, 250_000} {
			f := uart.Format{Baud: baud, Data: 8, Parity: uart.Even, Stop: 2}
			if f.Check(rate) != nil {
				require.Equal(t, int64(1000), rate.Num, "too coarse")
				continue
			}
			for _, percent := range []int64{0, -2, 2} {
				if rate.Num == 1000 && baud == 250_000 && percent != 0 {
					continue
				}
				text := anyBytes(rand.New(rand.NewPCG(1, 2)), 300)
				edges, end := sent(t, rate, f, text, 0, 0, nil)
				for i := range edges[1:] {
					edges[i+1].Tick += edges[i+1].Tick / 100 * percent
				}
				list := decoded(t, rate, f, edges, end)
				require.Len(t, list, len(text), "%v, %v, %d %%", f, rate, percent)
				for i := range list {
					require.False(t, list[i].Bad(), "%v, %v, %d %%", f, rate, percent)
					require.Equal(t, text[i], list[i].Byte, "%v, %v, %d %%", f, rate, percent)
				}
			}
		}
	}
}

// A character's end is that of its first stop bit: 110 µs after its start edge on a
// servo bus, the next one 120 µs on (arithmetic: twelve bits of 10 µs); and no error
// adds up over a frame of 25, which takes 3.000 ms.
func TestDates(t *testing.T) {
	edges, end := sent(t, edge.Nanosecond, servoBus, make([]byte, servobus.FrameLen), 0, 0, nil)
	for i, c := range decoded(t, edge.Nanosecond, servoBus, edges, end) {
		assert.Equal(t, int64(1_000_000+i*120_000), c.Start)
		assert.Equal(t, int64(1_000_000+i*120_000+110_000), c.At)
	}
	// 115200 baud has no whole number of ns in a bit: after 10 000 bits still exact.
	edges, end = sent(t, edge.Nanosecond, plainly(115_200), make([]byte, 1001), 0, 0, nil)
	list := decoded(t, edge.Nanosecond, plainly(115_200), edges, end)
	assert.Equal(t, int64(1_000_000+10_000*1_000_000_000/115_200), list[1000].Start)
}

// line is a plain line at 100 kbaud, 10 000 ticks a bit: levels and how long they
// last, in tenths of a bit.
func line(parts ...any) (edges []edge.Edge, end int64) {
	for i := 0; i < len(parts); i += 2 {
		edges = append(edges, edge.Edge{Tick: end, Level: parts[i].(edge.Level)})
		end += int64(parts[i+1].(int)) * 1000
	}
	return edges, end
}

func TestWhatIsWrong(t *testing.T) {
	const l, h, x = edge.Low, edge.High, edge.Unknown
	even := uart.Format{Baud: 100_000, Data: 8, Parity: uart.Even, Stop: 1}
	for _, c := range []struct {
		name   string
		format uart.Format
		parts  []any
		want   []uart.Char // without dates
	}{
		{"0x55", plainly(100_000), []any{h, 50, l, 10, h, 10, l, 10, h, 10, l, 10, h, 10, l, 10, h, 10, l, 10, h, 50}, []uart.Char{{Byte: 0x55}}},
		{"all ones", plainly(100_000), []any{h, 50, l, 10, h, 150}, []uart.Char{{Byte: 0xFF}}},
		{"a stop bit that is not idle", plainly(100_000), []any{h, 50, l, 10, h, 20, l, 70, h, 100}, []uart.Char{{Byte: 0x03, Framing: true}}},
		{"a break", plainly(100_000), []any{h, 50, l, 300, h, 100}, []uart.Char{{Break: true, Framing: true}}},
		{"a break just as long as a character", even, []any{h, 50, l, 110, h, 100}, []uart.Char{{Break: true, Framing: true}}},
		{"zeros are no break", even, []any{h, 50, l, 100, h, 100}, []uart.Char{{Byte: 0}}},
		{"a break where the parity bit should be a one", uart.Format{Baud: 100_000, Data: 8, Parity: uart.Odd, Stop: 1},
			[]any{h, 50, l, 300, h, 100}, []uart.Char{{Break: true, Framing: true}}},
		{"a start at the centre of the stop bit", plainly(100_000), []any{h, 50, l, 10, h, 85, l, 10, h, 200}, []uart.Char{{Byte: 0xFF}, {Byte: 0xFF}}},
		{"a good one after an unknown one", plainly(100_000), []any{h, 50, l, 10, h, 12, x, 5, h, 200, l, 10, h, 200},
			[]uart.Char{{Byte: 0xFD, Unknown: true}, {Byte: 0xFF}}},
		{"unknown out of idle is no start", plainly(100_000), []any{h, 50, x, 300, h, 200}, nil},
		{"parity", even, []any{h, 50, l, 10, h, 10, l, 80, h, 100}, []uart.Char{{Byte: 1, Parity: true}}},
		{"a glitch", plainly(100_000), []any{h, 50, l, 4, h, 200}, nil},
		{"a glitch before a character", plainly(100_000), []any{h, 50, l, 4, h, 3, l, 10, h, 200}, []uart.Char{{Byte: 0xFF}}},
		{"a glitch in a bit", plainly(100_000), []any{h, 50, l, 10, h, 11, l, 3, h, 200}, []uart.Char{{Byte: 0xFF}}},
		{"unknown at a centre", plainly(100_000), []any{h, 50, l, 10, h, 12, x, 5, h, 200}, []uart.Char{{Byte: 0xFD, Unknown: true}}},
		{"unknown between centres", plainly(100_000), []any{h, 50, l, 10, h, 16, x, 7, h, 200}, []uart.Char{{Byte: 0xFF}}},
		{"unknown, then active: that is no start", plainly(100_000), []any{x, 50, l, 10, h, 200}, nil},
		{"unknown and back at the same level, at a centre", plainly(100_000),
			[]any{h, 50, l, 10, h, 12, x, 5, h, 20, x, 2, h, 200}, []uart.Char{{Byte: 0xFD, Unknown: true}}},
		{"unknown from a centre to the end", plainly(100_000), []any{h, 50, l, 10, h, 40, x, 200}, []uart.Char{{Byte: 0x0F, Framing: true, Unknown: true}}},
		{"unknown in the stop bit", plainly(100_000), []any{h, 50, l, 10, h, 80, x, 10, h, 200}, []uart.Char{{Byte: 0xFF, Framing: true, Unknown: true}}},
		{"unknown through all bits is no break", plainly(100_000), []any{h, 50, l, 8, x, 200, h, 50}, []uart.Char{{Framing: true, Unknown: true}}},
		{"after a bad stop bit, no start without idle", plainly(100_000), []any{h, 50, l, 120, x, 5, l, 10, h, 200}, []uart.Char{{Framing: true, Break: true}}},
		{"unknown where the start bit should be", plainly(100_000), []any{h, 50, l, 3, x, 7, h, 200}, nil},
		{"active from the start on", plainly(100_000), []any{l, 50, h, 200}, nil},
		{"cut off", plainly(100_000), []any{h, 50, l, 10, h, 70}, nil},
		{"complete when half of the stop bit has passed", plainly(100_000), []any{h, 50, l, 10, h, 86}, []uart.Char{{Byte: 0xFF}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			edges, end := line(c.parts...)
			list := decoded(t, edge.Nanosecond, c.format, edges, end)
			for i := range list {
				list[i].Start, list[i].At = 0, 0
			}
			assert.Equal(t, c.want, list)
		})
	}
}

func TestGlitchesAreCounted(t *testing.T) {
	d, err := uart.NewDecoder(edge.Nanosecond, plainly(100_000))
	require.NoError(t, err)
	edges, end := line(edge.High, 50, edge.Low, 4, edge.High, 50, edge.Low, 2, edge.High, 100)
	for _, e := range edges {
		d.Edge(e, func(*uart.Char) { t.Fatal("no character") })
	}
	d.Until(end, func(*uart.Char) { t.Fatal("no character") })
	assert.Equal(t, int64(2), d.Glitches)
}

// A frame's counts survive the wire at a bad clock.
func TestServoBusFrames(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	edges, want, end := frames(t, 300, rng, servoBus)
	for i := range edges[1:] {
		edges[i+1].Tick += edges[i+1].Tick/1000*20 + rng.Int64N(601) - 300
	}
	var framer servobus.Framer
	var got []bus.Frame
	hear := func(f *bus.Found) {
		var frame bus.Frame
		servobus.Decode(f.Raw, &frame)
		require.False(t, f.Bad)
		got = append(got, frame)
	}
	for _, c := range decoded(t, edge.Nanosecond, servoBus, edges, end*2) {
		framer.Feed([]byte{c.Byte}, c.At, c.Bad(), hear)
	}
	framer.Reset()
	require.Len(t, got, len(want))
	for i := range want {
		require.Equal(t, want[i].Counts, got[i].Counts)
	}
}

// What a receiver makes of a servo bus with wrong settings: characters a frame and
// the share of bad ones, as a model of others gave them bit by bit over 40 random
// frames (common practice). Frames are 7 ms apart, 4 ms of them idle, so that each is
// read afresh. 0.06: by 40 frames, some thousand characters, a share is known to 0.03
// (two standard deviations), and how a receiver comes out of a bad stop bit moves it
// as much again. A line read well has no bad ones at all.
func TestWrongSettings(t *testing.T) {
	bus := servoBus
	plain, odd, shorter, fast := bus, bus, bus, bus
	plain.Inverted = false
	odd.Parity = uart.Odd
	shorter.Stop = 1
	fast.Baud = 200_000
	for _, c := range []struct {
		name       string
		format     uart.Format
		chars, bad float64
		near       float64
	}{
		{"as it should be", bus, 25, 0, 0},
		{"8E1", shorter, 25, 0, 0},
		{"odd parity", odd, 25, 1, 0},
		{"without an inverter", plain, 24, 0.68, 0.06},
		{"115200 8N1", uart.Format{Baud: 115_200, Data: 8, Stop: 1, Inverted: true}, 26.6, 0.55, 0.06},
		{"200000 8E2", fast, 36, 0.53, 0.06},
	} {
		t.Run(c.name, func(t *testing.T) {
			const n = 400
			edges, _, end := frames(t, n, rand.New(rand.NewPCG(7, 8)), servoBus)
			list := decoded(t, edge.Nanosecond, c.format, edges, end)
			bad := 0
			for i := range list {
				if list[i].Bad() {
					bad++
				}
			}
			assert.InEpsilon(t, c.chars, float64(len(list))/n, max(c.near, 1e-9), "characters a frame")
			assert.InDelta(t, c.bad, float64(bad)/float64(len(list)), max(c.near, 1e-9), "share of bad ones")
		})
	}
}

func TestRefusedFormats(t *testing.T) {
	good := servoBus
	for want, change := range map[string]func(*uart.Format, *edge.Rate){
		"baud":              func(f *uart.Format, _ *edge.Rate) { f.Baud = 0 },
		"data bits":         func(f *uart.Format, _ *edge.Rate) { f.Data = 9 },
		"the parity":        func(f *uart.Format, _ *edge.Rate) { f.Parity = 3 },
		"stop bits":         func(f *uart.Format, _ *edge.Rate) { f.Stop = 0 },
		"a tick of":         func(_ *uart.Format, r *edge.Rate) { r.Den = 0 },
		"4 of them":         func(_ *uart.Format, r *edge.Rate) { r.Num = 2600 },
		"1 ns for":          func(f *uart.Format, _ *edge.Rate) { f.Baud = 300_000_000 },
		"1/1000000":         func(f *uart.Format, r *edge.Rate) { f.Baud, r.Den = 50, 1_000_000 },
		"/1000000007 ns":    func(_ *uart.Format, r *edge.Rate) { r.Den = 1_000_000_007 },
		"/92233720368":      func(_ *uart.Format, r *edge.Rate) { r.Den = 1<<63 - 1 },
		"/3689348814741911": func(_ *uart.Format, r *edge.Rate) { r.Den = 3_689_348_814_741_911 }, // times 5000 is 2⁶⁴ + 3384
		"922337203685":      func(f *uart.Format, r *edge.Rate) { f.Baud, r.Num = 999_999_937, 1<<63-1 },
	} {
		f, r := good, edge.Nanosecond
		change(&f, &r)
		_, err := uart.NewDecoder(r, f)
		require.ErrorContains(t, err, want)
		_, err = uart.NewEncoder(r, f, 0)
		require.ErrorContains(t, err, want)
		_, err = uart.NewAuto(r, f)
		require.ErrorContains(t, err, want)
	}
	assert.Equal(t, "100000 8E2 inverted", good.String())
	assert.Equal(t, "115200 8N1", plainly(115_200).String())
}

// Nothing is allocated, for good characters and for bad.
func TestNoAllocation(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	edges, end := sent(t, edge.Nanosecond, servoBus, anyBytes(rng, 100), 0, 0, nil)
	for _, f := range []uart.Format{servoBus, plainly(115_200)} {
		chars := 0
		take := func(*uart.Char) { chars++ }
		assert.Zero(t, testing.AllocsPerRun(10, func() {
			d, _ := uart.NewDecoder(edge.Nanosecond, f)
			for _, e := range edges {
				d.Edge(e, take)
			}
			d.Until(end, take)
		})-1, "but the decoder itself")
		assert.NotZero(t, chars)
	}
}

// Nor once the polarity is known, nor for whatever comes.
func TestNoAllocationForAnything(t *testing.T) {
	edges, end := dirty(rand.New(rand.NewPCG(9, 9)), 400)
	chars := 0
	take := func(*uart.Char) { chars++ }
	a, err := uart.NewAuto(edge.Nanosecond, servoBus)
	require.NoError(t, err)
	a.End(take)
	from := int64(0)
	assert.Zero(t, testing.AllocsPerRun(10, func() {
		for _, e := range edges {
			a.Edge(edge.Edge{Tick: from + e.Tick, Level: e.Level}, take)
		}
		from += end
		a.Until(from, take)
	}))
	assert.NotZero(t, chars)
	assert.NotZero(t, a.Decoder.Glitches)
}

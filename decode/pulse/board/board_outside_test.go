//go:build outside

// Package board_test builds the capture board's firmware, drives its eight inputs
// under a simulator that others wrote (simavr), and holds what the decoder makes of
// its lines against what was driven.
package board_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
)

const (
	micro  = int64(1000)
	milli  = int64(1_000_000)
	second = 1000 * milli

	// How far off widths may be, ns: by themselves, a tick and the instructions that
	// the two edges wait for; at worst, two interrupts that came before.
	alone   = 750
	crowded = 6000
)

func dice() *rand.Rand { return rand.New(rand.NewPCG(1, 2)) }

// whole: the board reported all.
func whole(t *testing.T, b *bench, got []pulse.Pulse, sum pulse.Account) {
	t.Helper()
	assert.Zero(t, sum.Lost+sum.Dropped+sum.Restarts+sum.Expected+sum.RefusedTotal())
	require.Equal(t, len(b.pulses), len(got))
}

func TestEdgesByThemselves(t *testing.T) {
	for _, c := range []struct {
		name                           string
		outputs, hz, apart             int64
		narrow, wider, varied, rounded int64
	}{
		{"eight at 50 Hz", 8, 50, 2450 * micro, 700 * micro, 0, 1600 * micro, 1},
		{"four at 333 Hz", 4, 333, 137 * micro, 900 * micro, 150 * micro, 90 * micro, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			rng, b := dice(), newBench()
			period := second / c.hz
			for at := 10 * milli; at < 1000*milli; at += period {
				for o := range c.outputs {
					b.pulse(int(o)+1, at+o*c.apart+rng.Int64N(20*micro), c.narrow+o*c.wider+rng.Int64N(c.varied))
				}
			}
			got, sum := b.run(t, asItIs)
			whole(t, b, got, sum)
			f := b.compare(t, got)
			assert.LessOrEqual(t, len(got)-f.close, len(got)/200)
			assert.LessOrEqual(t, f.width, int64(crowded))
			seen := map[int]bool{}
			for _, p := range got[1:] {
				if seen[p.Output] {
					require.InDelta(t, period, p.Period, 25_000)
				}
				seen[p.Output] = true
			}
		})
	}
}

// Edges of one moment cost nothing; those a few µs apart are seen late.
func TestEdgesTogether(t *testing.T) {
	for _, c := range []struct {
		name          string
		rises, widths int64 // how far apart
		most          int64
	}{
		{"at one moment", 1, 1, alone},
		{"a few µs apart", 20 * micro, 20 * micro, crowded},
		{"anywhere", 17 * milli, 1300 * micro, crowded},
	} {
		t.Run(c.name, func(t *testing.T) {
			rng, b := dice(), newBench()
			for at := 10 * milli; at < 1500*milli; at += 20 * milli {
				for o := range 8 {
					b.pulse(o+1, at+rng.Int64N(c.rises), 900*micro+rng.Int64N(c.widths))
				}
			}
			got, sum := b.run(t, asItIs)
			whole(t, b, got, sum)
			f := b.compare(t, got)
			assert.LessOrEqual(t, f.width, c.most)
		})
	}
}

// Edges around the moments at which the timer goes round: each 32.768 ms.
func TestEdgesAsTheTimerGoesRound(t *testing.T) {
	got, _ := newBench().run(t, asItIs)
	require.Len(t, got, 1)
	ahead := got[0].Rise - first // of our clock
	const around = 65536 * 500
	b := newBench()
	for k := range int64(64) {
		at := (k+2)*around - ahead - 4*micro + k*micro/8
		if k%2 == 0 {
			b.pulse(1, at, 1500*micro)
		} else {
			b.pulse(2, at-1500*micro, 1500*micro)
		}
	}
	got, sum := b.run(t, asItIs)
	whole(t, b, got, sum)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(crowded))
}

// Ticks pass 2^32 and numbers 2^16, under the heaviest load that is promised.
func TestTicksAndNumbersGoRound(t *testing.T) {
	rng, b := dice(), newBench()
	for at := 10 * milli; at < 1500*milli; at += second / 150 {
		for o := range 8 {
			b.pulse(o+1, at+rng.Int64N(900*micro), 900*micro+rng.Int64N(1200*micro))
		}
	}
	got, sum := b.run(t, late)
	whole(t, b, got, sum)
	assert.Greater(t, got[len(got)-1].Rise, int64(1<<32)*500)
	assert.Greater(t, len(got), 0x100)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(crowded))
}

// More than the serial line carries: pulses are dropped and counted, never wrong.
func TestTooMuch(t *testing.T) {
	rng, b := dice(), newBench()
	for at := 10 * milli; at < 500*milli; at += second / 333 {
		for o := range 8 {
			b.pulse(o+1, at+rng.Int64N(400*micro), 900*micro+rng.Int64N(1200*micro))
		}
	}
	b.pulse(1, 800*milli, 1500*micro).event(1200*milli, "end") // the board speaks of itself each second
	got, sum := b.run(t, asItIs)
	missing := int64(len(b.pulses) - len(got))
	assert.Equal(t, []int64{missing, missing, 0}, []int64{sum.Dropped, sum.Lost, sum.RefusedTotal()})
	assert.Greater(t, missing, int64(100))
	assert.Greater(t, len(got), len(b.pulses)/3)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(crowded))
}

// Holes and spikes: what is reported is right, whatever is missing.
func TestDisturbed(t *testing.T) {
	rng, b := dice(), newBench()
	n := int64(0)
	for at := 10 * milli; at < 900*milli; at += 20 * milli {
		for o := range 6 {
			b.pulse(o+1, at+rng.Int64N(900*micro), 1000*micro+rng.Int64N(1000*micro))
		}
		p := b.pulses[len(b.pulses)-6:]
		b.blip(1, p[0].rise+rng.Int64N(900*micro)+10*micro, 500, 0)       // a glitch in a pulse
		b.blip(2, p[1].rise+p[1].width+rng.Int64N(5*milli)+1000, 500, 1)  // a glitch in the gap
		b.blip(3, p[2].rise+100*micro+rng.Int64N(800*micro), 20*micro, 0) // a hole
		b.blip(4, at+8*milli, 20*micro, 1)                                // a spike
		n++
	}
	b.pulse(1, 950*milli, 1500*micro).event(1200*milli, "end")
	got, sum := b.run(t, asItIs)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(crowded))
	told := map[int]int64{}
	for _, p := range got {
		told[p.Output]++
	}
	assert.Equal(t, []int64{0, n, n, n}, []int64{told[3], told[4], told[5], told[6]})
	assert.GreaterOrEqual(t, told[1]+told[2], 2*n-n/4, "glitches cost few pulses")
	assert.GreaterOrEqual(t, sum.Dropped, 2*n, "both parts of a pulse with a hole")
	assert.Positive(t, sum.Refused[pulse.TooNarrow])
	assert.Equal(t, sum.Refused[pulse.TooNarrow], sum.RefusedTotal())
}

// A line that rattles takes all of the processor's time: edges are lost, and the
// board says so.
func TestRattling(t *testing.T) {
	rng, b := dice(), newBench()
	for at := 10 * milli; at < 900*milli; at += 20 * milli {
		for o := range 7 {
			b.pulse(o+1, at+rng.Int64N(900*micro), 1000*micro+rng.Int64N(1000*micro))
		}
		if at%(60*milli) == 10*milli {
			for i := range int64(1000) {
				b.blip(8, at+500*micro+i*3*micro, micro*3/2, 1)
			}
		}
	}
	b.pulse(1, 950*milli, 1500*micro).event(1200*milli, "end")
	got, sum := b.run(t, asItIs)
	assert.Positive(t, sum.Dropped)
	assert.Greater(t, len(got), len(b.pulses)/2)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(2*crowded))
	t.Log(sum)
}

// A line that is stuck makes no pulse, however long its clock is.
func TestStuck(t *testing.T) {
	b := newBench().event(10*milli, "2 1").event(2600*milli, "2 0").event(3100*milli, "end")
	for at := 10 * milli; at < 2700*milli; at += 100 * milli {
		b.pulse(1, at, 1500*micro)
	}
	b.pulse(2, 2650*milli, 1200*micro)
	got, sum := b.run(t, asItIs)
	require.Equal(t, len(b.pulses), len(got))
	assert.Equal(t, []int64{1, 1, 0}, []int64{sum.Dropped, sum.Lost, sum.RefusedTotal()})
	b.compare(t, got)
}

// The board is reset, in the middle of a pulse and of a line. The first time may be
// the port's opening.
func TestRestarts(t *testing.T) {
	b := newBench()
	for i, at := int64(0), 10*milli; at < 1000*milli; i, at = i+1, at+20*milli {
		b.pulse(1, at, 1000*micro+i*4*micro).pulse(2, at+20*micro, 1002*micro+i*4*micro)
	}
	b.event(311*milli, "reset").event(691_300*micro, "reset")
	got, sum := b.run(t, asItIs)
	assert.Equal(t, []int64{1, 1}, []int64{sum.Expected, sum.Restarts})
	assert.Equal(t, 2, got[len(got)-1].Epoch)
	assert.GreaterOrEqual(t, len(got), len(b.pulses)-6)
	assert.LessOrEqual(t, b.compare(t, got).width, int64(crowded))
}

package linesim

import (
	"fmt"
	"math/rand/v2"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// Text is lines of text, in bursts several times a second or without a pause.
func Text(f uart.Format, rng *rand.Rand, end int64) (Line, error) {
	pause := [...]int64{0, 50 * ms, 100 * ms, 200 * ms, 500 * ms}[rng.IntN(5)]
	tags := [...]string{"VOLT", "CURR", "T1", "ALT", "RSSI", "POS", "STAT"}
	return sending(f, end, func(e *uart.Encoder, edges []edge.Edge) []edge.Edge {
		for range 1 + rng.IntN(4) {
			line := fmt.Sprintf("$%s,%d,%d.%02d,%c*%02X\r\n", tags[rng.IntN(len(tags))], rng.IntN(10_000), rng.IntN(360), rng.IntN(100), 'A'+rng.IntN(26), rng.IntN(256))
			for i := range len(line) {
				edges = e.Send(edges, line[i])
			}
		}
		e.Rest(e.Now() + pause)
		return edges
	})
}

// Binary is packets of a telemetry or of another bus: a header, a length, data, a sum.
func Binary(f uart.Format, rng *rand.Rand, end int64) (Line, error) {
	pause := [...]int64{2 * ms, 4 * ms, 10 * ms, 20 * ms, 50 * ms}[rng.IntN(5)]
	header, size := byte(rng.IntN(256)), 4+rng.IntN(40)
	data := make([]byte, size)
	for i := range data {
		data[i] = byte(rng.IntN(256))
	}
	return sending(f, end, func(e *uart.Encoder, edges []edge.Edge) []edge.Edge {
		for range 1 + rng.IntN(size) {
			data[rng.IntN(size)] = byte(rng.IntN(256))
		}
		edges = e.Send(e.Send(edges, header), byte(size))
		sum := byte(0)
		for _, b := range data {
			edges = e.Send(edges, b)
			sum += b
		}
		edges = e.Send(edges, sum)
		e.Rest(e.Now() + pause)
		return edges
	})
}

// Pulses is a servo lead.
func Pulses(rng *rand.Rand, end int64) Line {
	period := [...]int64{20 * ms, 20 * ms, 22 * ms, 18 * ms, 14 * ms, 11 * ms, 7 * ms, 3 * ms}[rng.IntN(8)]
	width, by := 900*us+rng.Int64N(1200*us), int64(0)
	if rng.IntN(3) == 0 {
		by = rng.Int64N(20 * us)
	}
	l := Line{End: end}
	l.add(0, edge.Low)
	for at := rng.Int64N(period); at+3*ms < end; at += period + rng.Int64N(4*us) {
		if width += by; width < 900*us || width > 2100*us {
			by = -by
		}
		l.add(at, edge.High)
		l.add(at+min(width, period-500*us), edge.Low)
	}
	return l
}

// Noise is a wire that nothing drives: it picks up pulses of about a length, ns, and longer
// ones, now more and now less.
func Noise(shortest int64, rng *rand.Rand, end int64) Line {
	l := Line{End: end}
	level := edge.Level(rng.IntN(2))
	l.add(0, level)
	spread := shortest * []int64{2, 4, 20}[rng.IntN(3)]
	rests := rng.IntN(3) > 0
	for at := int64(0); at < end; {
		for range 1 + rng.IntN(60) {
			if at += shortest/2 + int64(rng.ExpFloat64()*float64(spread)/2); at >= end {
				break
			}
			level = level.Not()
			l.add(at, level)
		}
		if rests {
			at += int64(rng.ExpFloat64() * float64([]int64{1, 4, 12}[rng.IntN(3)]*ms))
		}
	}
	return l
}

// Mains is an input without ground, which follows the mains: it changes at its frequency, Hz,
// and chatters where it crosses the threshold.
func Mains(frequency int64, rng *rand.Rand, end int64) Line {
	l := Line{End: end}
	half := second / frequency / 2
	chatter := 4 + rng.IntN(40)
	high := half * int64(30+rng.IntN(40)) / 50 // of a whole period
	l.add(0, edge.Low)
	cross := func(at int64, to edge.Level) {
		for range rng.IntN(chatter) + chatter/2 {
			l.add(at, to)
			at += 3*us + rng.Int64N(40*us)
			l.add(at, to.Not())
			at += 3*us + rng.Int64N(40*us)
		}
		l.add(at, to)
	}
	for at := rng.Int64N(2 * half); at+2*half < end; at += 2 * half {
		cross(at, edge.High)
		cross(at+high, edge.Low)
	}
	return l
}

// Alternating is a code of two levels that is no serial line: each bit has a change in its
// middle, and one at its beginning where it must.
func Alternating(rng *rand.Rand, end int64) Line {
	l := Line{End: end}
	half := 4*us + rng.Int64N(200*us)
	size := 16 + rng.IntN(64)
	pause := rng.Int64N(30 * ms)
	l.add(0, edge.Low)
	for at := int64(0); at < end; at += pause {
		for range size {
			first := edge.Level(rng.IntN(2))
			l.add(at, first)
			l.add(at+half, first.Not())
			at += 2 * half
		}
		l.add(at, edge.Low)
	}
	return l
}

// Spaced is a code in which the distance between short pulses is what counts, as one lead
// for many channels has it.
func Spaced(rng *rand.Rand, end int64) Line {
	l := Line{End: end}
	n, pulse := 4+rng.IntN(8), 200*us+rng.Int64N(300*us)
	l.add(0, edge.Low)
	for at := int64(0); at < end; at += 5*ms + rng.Int64N(ms) {
		for range n + 1 {
			l.add(at, edge.High)
			l.add(at+pulse, edge.Low)
			at += 700*us + rng.Int64N(1500*us)
		}
	}
	return l
}

// Package linesim makes lines with known faults, as edges; a serial port that reads them with
// settings of its own; and an adapter that hands over what the port read, late, in pieces, with
// such marks as it has. It knows nothing of how they are judged.
//
//	Bus, Text, Pulses, Noise ... --edges--> Receive --characters--> Adapter.Reads --reads-->
//
// Ticks are ns. All randomness comes from the generator that is passed in.
package linesim

import (
	"math/rand/v2"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// Line is a line from tick 0 to End. Its first edge says how it begins.
type Line struct {
	Edges []edge.Edge
	End   int64 // tick
}

const (
	us     = int64(1_000)
	ms     = 1_000 * us
	second = 1_000 * ms
)

// add appends an edge, unless the line has that level.
func (l *Line) add(tick int64, level edge.Level) {
	if n := len(l.Edges); n == 0 || l.Edges[n-1].Level != level {
		l.Edges = append(l.Edges, edge.Edge{Tick: tick, Level: level})
	}
}

// Not is the same line behind an inverter.
func (l Line) Not() Line {
	out := Line{End: l.End}
	for _, e := range l.Edges {
		out.Edges = append(out.Edges, edge.Edge{Tick: e.Tick, Level: e.Level.Not()})
	}
	return out
}

// Receive is what a port reads of a line. Its format is that of the port's own input.
func Receive(l Line, port uart.Format) (chars []uart.Char, err error) {
	d, err := uart.NewDecoder(edge.Nanosecond, port)
	if err != nil {
		return nil, err
	}
	take := func(c *uart.Char) { chars = append(chars, *c) }
	for _, e := range l.Edges {
		d.Edge(e, take)
	}
	d.Until(l.End, take)
	return chars, nil
}

// Marks is how an adapter and its driver report characters with errors.
type Marks uint8

// The ways of marking.
const (
	PerCharacter Marks = iota // each bad character is marked
	PerPacket                 // all of a packet are, where one is bad
	Zeroed                    // no mark, a bad character becomes 0x00
	Unseen                    // no mark, and the character as it was read
	AllMarks
)

func (m Marks) String() string {
	return [...]string{"per character", "per packet", "zeroed", "unseen"}[m]
}

// packet is how many characters a USB packet has room for.
const packet = 62

// Adapter hands over what a port read.
type Adapter struct {
	Latency int64 // how long it gathers, ns, at least 1
	Marks   Marks
	Lose    int // of a hundred characters, so many are lost
}

// Read is one read: characters that are all bad or all good, and its date, ns.
type Read struct {
	At   int64
	Data []byte
	Bad  bool
}

// Reads cuts characters into reads.
func (a Adapter) Reads(chars []uart.Char, rng *rand.Rand) (out []Read) {
	phase := rng.Int64N(a.Latency)
	for i := 0; i < len(chars); {
		n, date := 0, int64(0)
		for i+n < len(chars) && n < packet {
			at := chars[i+n].At
			at += a.Latency - (at+phase)%a.Latency
			if n > 0 && at != date {
				break
			}
			date = at
			n++
		}
		out = a.packet(out, chars[i:i+n], date, rng)
		i += n
	}
	return out
}

func (a Adapter) packet(out []Read, chars []uart.Char, date int64, rng *rand.Rand) []Read {
	spoilt := false
	for i := range chars {
		spoilt = spoilt || chars[i].Bad()
	}
	fresh := true
	for i := range chars {
		if a.Lose > 0 && rng.IntN(100) < a.Lose {
			continue
		}
		b, bad := chars[i].Byte, false
		switch a.Marks {
		case PerCharacter:
			bad = chars[i].Bad()
		case PerPacket:
			bad = spoilt
		case Zeroed:
			if chars[i].Bad() {
				b = 0
			}
		}
		if fresh || out[len(out)-1].Bad != bad {
			out, fresh = append(out, Read{At: date, Bad: bad}), false
		}
		last := &out[len(out)-1]
		last.Data = append(last.Data, b)
	}
	return out
}

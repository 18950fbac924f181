package linesim

import (
	"math/rand/v2"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
)

// model is what a receiver sends: most channels rest, some move. One in four is wild, as
// test transmitters are: each channel of each frame is anything.
type model struct {
	p      *bus.Protocol
	wild   *rand.Rand // nil: it is not
	frame  bus.Frame
	moving [bus.MaxChannels]int32 // counts a frame; 0: it rests
}

func newModel(p *bus.Protocol, rng *rand.Rand) *model {
	m := &model{p: p}
	if rng.IntN(4) == 0 {
		m.wild = rng
	}
	least, most := p.Range[0], p.Range[1]
	width := most - least + 1
	at := func(ns int64) uint32 { return uint32(p.Scale.Count(ns)) }
	places := [...]uint32{at(1_500_000), at(1_500_000), at(988_000), at(2_012_000), least + width/2, least}
	rest := places[rng.IntN(len(places))] // of what nobody uses
	used := 4 + rng.IntN(p.Channels-3)
	stirred := rng.IntN(3) == 0
	for ch := range p.Channels {
		m.frame.Counts[ch] = rest
		if ch < used {
			m.frame.Counts[ch] = places[rng.IntN(len(places))] + uint32(rng.IntN(5))
		}
		if ch < 4 || ch < used && rng.IntN(4) == 0 {
			m.frame.Counts[ch] = least + uint32(rng.IntN(int(width)))
			if stirred {
				m.moving[ch] = int32(1 + rng.IntN(30))
			}
		}
	}
	return m
}

func (m *model) step() {
	if m.wild != nil {
		for ch := range m.p.Channels {
			m.frame.Counts[ch] = m.p.Range[0] + uint32(m.wild.IntN(int(m.p.Range[1]-m.p.Range[0])))
		}
		return
	}
	for ch, by := range m.moving {
		if by == 0 {
			continue
		}
		next := int64(m.frame.Counts[ch]) + int64(by)
		if next < int64(m.p.Range[0]) || next > int64(m.p.Range[1]) {
			m.moving[ch] = -by
			continue
		}
		m.frame.Counts[ch] = uint32(next)
	}
}

// Bus is a receiver's bus, sent in a format: that of its protocol, or another one. Behind
// an inverter it reads as it should.
func Bus(p *bus.Protocol, sent uart.Format, rng *rand.Rand, end int64) (Line, error) {
	periods := [...]int64{7 * ms, 14 * ms, 9 * ms, 11 * ms, 20 * ms, 10 * ms}
	period := periods[rng.IntN(len(periods))]
	from := rng.Int64N(period)
	m := newModel(p, rng)
	raw := make([]byte, p.FrameLen)
	drift := 1_000_000 + rng.Int64N(10_001) - 5_000 // clocks differ by half a per cent at most
	sent.Baud = sent.Baud * drift / 1_000_000
	return sending(sent, end, func(e *uart.Encoder, edges []edge.Edge) []edge.Edge {
		e.Rest(from)
		from = max(from+period, e.Now())
		m.step()
		p.Encode(&m.frame, raw)
		for _, b := range raw {
			edges = e.Send(edges, b)
		}
		return edges
	})
}

// sending is a line on which one piece after the other is sent, from rest to rest.
func sending(f uart.Format, end int64, piece func(*uart.Encoder, []edge.Edge) []edge.Edge) (Line, error) {
	e, err := uart.NewEncoder(edge.Nanosecond, f, 0)
	if err != nil {
		return Line{}, err
	}
	l := Line{Edges: []edge.Edge{e.Begin()}, End: end}
	for e.Now() < end {
		l.Edges = piece(e, l.Edges)
	}
	for n := len(l.Edges); n > 1 && l.Edges[n-1].Tick > end; n = len(l.Edges) {
		l.Edges = l.Edges[:n-1]
	}
	return l, nil
}

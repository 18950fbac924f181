package bustest

import (
	"bytes"
	"math/rand/v2"

	"benchproof.example/decode/bus"
)

// Frame draws a frame that the protocol can carry: any counts within its range, any of
// its flags.
func Frame(rng *rand.Rand, p *bus.Protocol) (frame bus.Frame) {
	span := uint64(p.Range[1]-p.Range[0]) + 1
	for i := range p.Channels {
		frame.Counts[i] = p.Range[0] + uint32(rng.Uint64N(span))
	}
	frame.Flags = bus.Flags(rng.Uint32()) & flagsOf(p)
	return frame
}

// flagsOf are the flags that frames of a protocol carry.
func flagsOf(p *bus.Protocol) bus.Flags {
	flags := p.Flags
	for n := range p.Digital {
		flags |= bus.Digital(n)
	}
	return flags
}

// Frames makes a stream of n frames, drawn.
func Frames(rng *rand.Rand, p *bus.Protocol, n int) []byte {
	out := make([]byte, n*p.FrameLen)
	for i := range n {
		f := Frame(rng, p)
		p.Encode(&f, out[i*p.FrameLen:(i+1)*p.FrameLen])
	}
	return out
}

// Noise makes n bytes of noise.
func Noise(rng *rand.Rand, n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(rng.Uint32())
	}
	return b
}

// Spoil replaces bytes by others and drops or adds some, at the given shares.
func Spoil(rng *rand.Rand, stream []byte, wrong, moved float64) (out []byte) {
	for _, b := range stream {
		switch x := rng.Float64(); {
		case x < moved/2:
			continue
		case x < moved:
			out = append(out, byte(rng.Uint32()))
		case x < moved+wrong:
			b ^= byte(1 + rng.IntN(255))
		}
		out = append(out, b)
	}
	return out
}

// dirt is a stream with something in it that is no frame.
type dirt struct {
	name   string
	stream []byte
	empty  bool // no frame may be found in it
	ends   int  // so many frames at its end must be found, at least
}

// dirtOf has every kind of dirt, for frames of a protocol.
func dirtOf(p *bus.Protocol) []dirt {
	rng := rand.New(rand.NewPCG(7, 9))
	n := p.FrameLen
	const frames = 12
	clean := Frames(rng, p, frames)
	broken := func(at int) []byte {
		b := bytes.Clone(clean)
		b[at] ^= 0x55
		return b
	}
	chatty := []byte{}
	for i := range frames {
		chatty = cat(chatty, clean[n*i:n*(i+1)], Noise(rng, 9))
	}
	return []dirt{
		{"clean", clean, false, frames},
		{"leading noise", cat(Noise(rng, 61), clean), false, frames},
		{"begins inside a frame", clean[n/2:], false, frames - 1},
		{"a wrong first byte", broken(2 * n), false, 8},
		{"a wrong byte within", broken(2*n + n/2), false, 8},
		{"a wrong last byte", broken(3*n - 1), false, 8},
		{"interrupted", cat(clean[:2*n+n/2], clean[3*n:]), false, 8},
		{"a byte lost", cat(clean[:2*n+n/2], clean[2*n+n/2+1:]), false, 8},
		{"a byte added", cat(clean[:2*n+n/2], []byte{0x55}, clean[2*n+n/2:]), false, 8},
		{"a burst of noise", cat(clean[:3*n], Noise(rng, 3*n), clean[4*n:]), false, 4},
		{"others talk between frames", chatty, false, 0},
		{"cut off", clean[:frames*n-n/3], false, 0},
		{"one alone", clean[:n], false, 0},
		{"all 0x00", make([]byte, 10*n), true, 0},
		{"all 0xFF", bytes.Repeat([]byte{0xFF}, 10*n), true, 0},
		{"nothing but beginnings", bytes.Repeat(clean[:1], 10*n), true, 0},
		{"noise", Noise(rng, 20*n), true, 0},
		{"empty", nil, true, 0},
	}
}

func cat(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

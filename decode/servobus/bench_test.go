package servobus_test

import (
	"bytes"
	"io"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/icza/bitio"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

// The yardsticks: what the same work costs done the plain way, in the same run.

func BenchmarkUnpack(b *testing.B) {
	raw := frames(rand.New(rand.NewPCG(1, 1)), 1)
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		var frame bus.Frame
		for b.Loop() {
			servobus.Decode(raw, &frame)
		}
	})
	b.Run("yardstick-bit-reader", func(b *testing.B) {
		payload := slices.Clone(raw[1:23])
		slices.Reverse(payload)
		var counts [servobus.Channels]uint16
		under := bytes.NewReader(payload)
		for b.Loop() {
			under.Reset(payload)
			r := bitio.NewReader(under)
			for i := len(counts) - 1; i >= 0; i-- {
				v, _ := r.ReadBits(11)
				counts[i] = uint16(v)
			}
		}
	})
}

// byteMachine is the yardstick framer: a state machine that is stepped with each
// byte and trusts the envelope.
type byteMachine struct {
	buf [servobus.FrameLen]byte
	n   int
}

func (m *byteMachine) step(b byte) bool {
	if m.n == 0 && b != 0x0F {
		return false
	}
	m.buf[m.n] = b
	m.n++
	if m.n < servobus.FrameLen {
		return false
	}
	m.n = 0
	return b == 0 || b&0xCF == 4
}

func BenchmarkFramer(b *testing.B) {
	rng := rand.New(rand.NewPCG(2, 2))
	clean := frames(rng, 400_000)
	streams := []struct {
		name   string
		stream []byte
	}{{"clean", clean}, {"wrong-1-percent", spoil(rng, clean, 0.01, 0)}, {"moved-0.1-percent", spoil(rng, clean, 0, 0.001)}}
	buf := make([]byte, 64<<10)
	read := func(stream []byte, take func([]byte)) {
		r := bytes.NewReader(stream)
		for {
			n, err := r.Read(buf)
			if err == io.EOF {
				return
			}
			take(buf[:n])
		}
	}
	for _, s := range streams {
		b.Run(s.name+"/ours", func(b *testing.B) {
			b.SetBytes(int64(len(s.stream)))
			b.ReportAllocs()
			n := 0
			count := func(*bus.Found) { n++ }
			var f servobus.Framer
			for b.Loop() {
				f.Reset()
				read(s.stream, func(p []byte) { f.Feed(p, 0, false, count) })
			}
		})
		b.Run(s.name+"/yardstick-byte-machine", func(b *testing.B) {
			b.SetBytes(int64(len(s.stream)))
			n := 0
			for b.Loop() {
				var m byteMachine
				read(s.stream, func(p []byte) {
					for _, c := range p {
						if m.step(c) {
							n++
						}
					}
				})
			}
		})
	}
}

// BenchmarkNoise feeds a gigabyte of noise and reports false frames a megabyte.
func BenchmarkNoise(b *testing.B) {
	for _, c := range []struct {
		name string
		step int64 // ns between dates of 133 bytes
	}{{"dated", 16_000_000}, {"undated", 0}} {
		b.Run(c.name, func(b *testing.B) {
			rng := rand.NewChaCha8([32]byte{1})
			const size = 1 << 30
			p := make([]byte, 133)
			for b.Loop() {
				var f servobus.Framer
				n, at := 0, int64(0)
				for fed := 0; fed < size; fed += len(p) {
					_, _ = rng.Read(p)
					f.Feed(p, at, false, func(*bus.Found) { n++ })
					at += c.step
				}
				b.ReportMetric(float64(n)/(size/1e6), "false/MB")
			}
		})
	}
}

// BenchmarkMoved reports the share of intact frames lost where bytes are dropped
// and added.
func BenchmarkMoved(b *testing.B) {
	for b.Loop() {
		kept, intact := keptWhenMoved(rand.New(rand.NewPCG(5, 6)), 3_000_000, 0.001)
		b.ReportMetric(1e6*float64(intact-kept)/float64(intact), "lost/M")
	}
}

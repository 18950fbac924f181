// Package bustest holds what tests need of protocols: Conform, which each row must
// pass, Fuzz, streams with every kind of dirt in them, and Twelve, a protocol for
// tests alone.
package bustest

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
)

// Conform holds a row to what all protocols promise.
func Conform(t *testing.T, p *bus.Protocol) {
	t.Run("row", func(t *testing.T) { require.NoError(t, p.Check()) })
	for _, c := range []struct {
		name string
		test func(*testing.T, *bus.Protocol)
	}{
		{"frames come back as they were sent", roundTrip},
		{"dirt at every size of read", dirtAtEverySize},
		{"what is found when", emissionByBytesAlone},
		{"goes on from its state", goesOnFromItsState},
		{"a bad mark stays with its frame", badMarks},
		{"a minute of noise", minuteOfNoise},
		{"nothing is allocated", noAllocation},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, p) })
	}
}

// Fuzz holds what a framer makes of any bytes, read at once and in pieces, to the
// account and to the row.
func Fuzz(t *testing.T, p *bus.Protocol, stream []byte, piece int) {
	whole, pieces := p.NewFramer(), p.NewFramer()
	a := feed(t, p, whole, stream, len(stream)+1, 0)
	b := feed(t, p, pieces, stream, piece, 0)
	require.Equal(t, a, b)
	require.Equal(t, whole.Account(), pieces.Account())
}

// got is a Found that outlives the call.
type got struct {
	Raw    []byte
	Offset int64
	At     int64
	Bad    bool
}

func (g got) same(o got) bool {
	return bytes.Equal(g.Raw, o.Raw) && g.Offset == o.Offset && g.At == o.At && g.Bad == o.Bad
}

// feed cuts a stream into pieces, dates each byte by its own offset in steps of tick
// bytes (0: all alike), and returns what was found. It holds each frame to the stream
// and to the row, and the account to the balance after each piece.
func feed(t testing.TB, p *bus.Protocol, framer bus.Framer, stream []byte, piece, tick int) (found []got) {
	t.Helper()
	from, end := framer.Account().In, int64(0)
	hear := func(x *bus.Found) {
		at := x.Offset - from
		if at < end {
			t.Fatalf("the frame at %d begins inside another", x.Offset)
		}
		if end = at + int64(p.FrameLen); !bytes.Equal(stream[at:end], x.Raw) {
			t.Fatalf("got %x at %d, want %x", x.Raw, x.Offset, stream[at:end])
		}
		holdToRow(t, p, x.Raw)
		found = append(found, got{bytes.Clone(x.Raw), x.Offset, x.At, x.Bad})
	}
	for at := 0; at < len(stream); {
		end := min(at+piece, len(stream))
		for i := at; i < end; i++ { // a piece has one date
			if date(p, i, tick) != date(p, at, tick) {
				end = i
				break
			}
		}
		framer.Feed(stream[at:end], date(p, at, tick), false, hear)
		requireBalanced(t, p, framer)
		at = end
	}
	return found
}

func date(p *bus.Protocol, i, tick int) int64 {
	if tick == 0 {
		return 0
	}
	return int64(i/tick) * int64(tick) * p.CharTime()
}

// holdToRow holds a believed frame to what the row says of it.
func holdToRow(t testing.TB, p *bus.Protocol, raw []byte) {
	f := bus.Frame{Bad: true}
	p.Decode(raw, &f)
	for i, c := range f.Counts {
		behind := i >= p.Channels && c != 0
		if behind || i < p.Channels && (c < p.Range[0] || c > p.Range[1]) {
			t.Fatalf("got %d at channel %d, want %v, and 0 behind %d", c, i+1, p.Range, p.Channels)
		}
	}
	switch {
	case f.Flags&^(flagsOf(p)|bus.Unassigned) != 0:
		t.Fatalf("got the flags %#x, which the row has not", uint8(f.Flags))
	case f.Private != 0 && p.Private == "":
		t.Fatal("got a private byte, and no name for it")
	case f.Bad:
		t.Fatal("got damage that nobody marked")
	}
}

// requireBalanced is asked after each piece, so it builds no message where all is well.
func requireBalanced(t testing.TB, p *bus.Protocol, framer bus.Framer) {
	a := framer.Account()
	if framer.RefusedBytes() != a.Refused.Total() {
		t.Fatalf("got %d refused bytes, want as many as in %+v", framer.RefusedBytes(), a)
	}
	if a.In != a.Frames*int64(p.FrameLen)+a.Refused.Total()+int64(framer.Pending()) {
		t.Fatalf("bytes that went nowhere, or twice: %+v, %d pending", a, framer.Pending())
	}
	for r, n := range a.Refused {
		if n != 0 && !slices.Contains(p.Reasons, bus.Reason(r)) {
			t.Fatalf("%v is no reason of the row", bus.Reason(r))
		}
	}
}

func offsets(found []got) (list []int64) {
	for _, g := range found {
		list = append(list, g.Offset)
	}
	return list
}

func roundTrip(t *testing.T, p *bus.Protocol) {
	rng := rand.New(rand.NewPCG(1, 2))
	raw, again := make([]byte, p.FrameLen), make([]byte, p.FrameLen)
	for range 2000 {
		sent := Frame(rng, p)
		p.Encode(&sent, raw)
		read := bus.Frame{Flags: 0xFF, Private: 0xFF, Bad: true}
		for i := range read.Counts {
			read.Counts[i] = rng.Uint32()
		}
		p.Decode(raw, &read)
		require.Equal(t, sent, read)
		p.Encode(&read, again)
		require.Equal(t, raw, again)
	}
}

func dirtAtEverySize(t *testing.T, p *bus.Protocol) {
	for _, d := range dirtOf(p) {
		for _, tick := range []int{0, 1, 133} {
			whole := p.NewFramer()
			want := feed(t, p, whole, d.stream, 1, tick)
			requireFound(t, p, &d, want)
			for piece := 2; piece <= len(d.stream); piece++ {
				f := p.NewFramer()
				if found := feed(t, p, f, d.stream, piece, tick); !slices.EqualFunc(want, found, got.same) || whole.Account() != f.Account() {
					t.Fatalf("%s in pieces of %d: got %v, %+v; want %v, %+v", d.name, piece, offsets(found), f.Account(), offsets(want), whole.Account())
				}
				f.Reset()
				requireBalanced(t, p, f)
				require.Zero(t, f.Pending())
				require.False(t, f.Locked())
			}
		}
	}
}

// requireFound looks for the frames at the end of a stream, which ends with one.
func requireFound(t *testing.T, p *bus.Protocol, d *dirt, found []got) {
	t.Helper()
	if d.empty {
		require.Empty(t, found, d.name)
		return
	}
	for i := range d.ends {
		at := int64(len(d.stream) - (i+1)*p.FrameLen)
		require.Contains(t, offsets(found), at, "%s: the last but %d", d.name, i)
	}
}

// emissionByBytesAlone: what is found after how many bytes does not depend on pieces.
func emissionByBytesAlone(t *testing.T, p *bus.Protocol) {
	rng := rand.New(rand.NewPCG(3, 4))
	stream := Spoil(rng, Frames(rng, p, 200), 0.01, 0.002)
	trace := func(piece int) (accounts []bus.Account) {
		f := p.NewFramer()
		for at := 0; at < len(stream); at += piece {
			f.Feed(stream[at:min(at+piece, len(stream))], 0, false, func(*bus.Found) {})
			if end := at + piece; end%60 == 0 && end <= len(stream) {
				accounts = append(accounts, f.Account())
			}
		}
		return accounts
	}
	want := trace(1)
	require.Greater(t, len(want), 20)
	for _, piece := range []int{2, 3, 5, 10, 12, 20, 60} {
		assert.Equal(t, want, trace(piece), "pieces of %d", piece)
	}
}

func goesOnFromItsState(t *testing.T, p *bus.Protocol) {
	rng := rand.New(rand.NewPCG(31, 32))
	stream := cat(Noise(rng, 90), Spoil(rng, Frames(rng, p, 30), 0.01, 0.003), Noise(rng, 300), Frames(rng, p, 9))
	whole := p.NewFramer()
	want := feed(t, p, whole, stream, 13, 1)
	require.NotEmpty(t, want)
	f := p.NewFramer()
	var found []got
	for i := range stream {
		f.Feed(stream[i:i+1], date(p, i, 1), false, func(x *bus.Found) {
			found = append(found, got{bytes.Clone(x.Raw), x.Offset, x.At, x.Bad})
		})
		state, err := json.Marshal(f)
		require.NoError(t, err)
		f = p.NewFramer()
		require.NoError(t, json.Unmarshal(state, f))
		again, err := json.Marshal(f)
		require.NoError(t, err)
		require.Equal(t, string(state), string(again))
	}
	require.Equal(t, want, found)
	require.Equal(t, whole.Account(), f.Account())
	require.Error(t, p.NewFramer().UnmarshalJSON([]byte(`[]`)), "no state at all")
}

func badMarks(t *testing.T, p *bus.Protocol) {
	rng := rand.New(rand.NewPCG(19, 20))
	stream := Frames(rng, p, 8)
	for at := range stream {
		f := p.NewFramer()
		var bad []int64
		hear := func(x *bus.Found) {
			if x.Bad {
				bad = append(bad, x.Offset/int64(p.FrameLen))
			}
		}
		f.Feed(stream[:at], 1, false, hear)
		f.Feed(stream[at:at+1], 2, true, hear)
		f.Feed(stream[at+1:], 3, false, hear)
		require.Equal(t, []int64{int64(at / p.FrameLen)}, bad, "byte %d", at)
	}
}

func minuteOfNoise(t *testing.T, p *bus.Protocol) {
	n := int(60_000_000_000 / p.CharTime())
	for _, tick := range []int{0, 1, 133} { // no dates, each byte its own, clumps
		f := p.NewFramer()
		for at, noise := 0, Noise(rand.New(rand.NewPCG(15, 16)), n); at < n; at += 133 {
			f.Feed(noise[at:min(at+133, n)], date(p, at, tick), false, func(*bus.Found) {})
		}
		assert.Zero(t, f.Account().Frames)
		assert.False(t, f.Locked())
		requireBalanced(t, p, f)
	}
}

func noAllocation(t *testing.T, p *bus.Protocol) {
	rng := rand.New(rand.NewPCG(23, 24))
	var frame bus.Frame
	hear := func(x *bus.Found) { p.Decode(x.Raw, &frame) }
	for name, stream := range map[string][]byte{
		"good": Frames(rng, p, 100), "bad": Spoil(rng, Frames(rng, p, 100), 0.02, 0.01), "noise": Noise(rng, 2500),
	} {
		f := p.NewFramer()
		assert.Zero(t, testing.AllocsPerRun(20, func() {
			f.Feed(stream, 0, false, hear)
			_ = f.Account()
		}), name)
	}
}

package servobus_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

// got is a Found that outlives the call.
type got struct {
	Raw    [servobus.FrameLen]byte
	Offset int64
	At     int64
	Bad    bool
}

// feed cuts stream into pieces of the given size, dates each byte by its own
// offset in steps of tick bytes (0: all alike) and returns what was found, with
// the offset after which it was emitted.
func feed(f *servobus.Framer, stream []byte, piece, tick int) (found []got) {
	date := func(i int) int64 {
		if tick == 0 {
			return 0
		}
		return int64(i/tick) * int64(tick) * 120_000
	}
	for at := 0; at < len(stream); {
		end := min(at+piece, len(stream))
		for i := at; i < end; i++ { // a piece has one date
			if date(i) != date(at) {
				end = i
				break
			}
		}
		f.Feed(stream[at:end], date(at), false, func(x *bus.Found) {
			found = append(found, got{[servobus.FrameLen]byte(x.Raw), x.Offset, x.At, x.Bad})
		})
		at = end
	}
	return found
}

func requireBalanced(t testing.TB, f *servobus.Framer) {
	t.Helper()
	a := f.Account()
	require.Equal(t, a.In, a.Frames*servobus.FrameLen+a.Refused.Total()+int64(f.Pending()))
}

// frames makes n frames of random channels.
func frames(rng *rand.Rand, n int) (out []byte) {
	for range n {
		var frame bus.Frame
		for i := range servobus.Channels {
			frame.Counts[i] = uint32(rng.IntN(2048))
		}
		var raw [servobus.FrameLen]byte
		servobus.Encode(&frame, raw[:])
		out = append(out, raw[:]...)
	}
	return out
}

// still makes n equal frames whose data hold a header and a footer byte that
// look like an envelope seven bytes off.
func still(n int) (out []byte) {
	raw := [servobus.FrameLen]byte{0: 0x0F, 5: 0x02, 6: 0x00, 7: 0x0F}
	for range n {
		out = append(out, raw[:]...)
	}
	return out
}

func noise(rng *rand.Rand, n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(rng.Uint32())
	}
	return b
}

func cat(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

type dirt struct {
	name   string
	stream []byte
	want   []int64 // offsets of frames, nil for none
}

func every(from, n int) (offsets []int64) {
	for i := range n {
		offsets = append(offsets, int64(from+i*servobus.FrameLen))
	}
	return offsets
}

func dirtTable() []dirt {
	rng := rand.New(rand.NewPCG(7, 9))
	clean := frames(rng, 6)
	wrongEnd := bytes.Clone(clean)
	wrongEnd[74] = 0x55
	wrongHeader := bytes.Clone(clean)
	wrongHeader[50] = 0xF0
	oneFooterOff := bytes.Clone(clean)
	for i := range 6 {
		oneFooterOff[24+25*i] = []byte{0x04, 0x14, 0x24, 0x34}[i%4]
	}
	added := bytes.Clone(clean)
	added[73] = byte(bus.Digital(0)) | byte(bus.Digital(1)) // a zero would pass for a footer one byte on
	chatty := []byte{}
	for i := range 6 {
		chatty = cat(chatty, clean[25*i:25*i+25], noise(rng, 9))
	}
	return []dirt{
		{"clean", clean, every(0, 6)},
		{"telemetry footers", oneFooterOff, every(0, 6)},
		{"leading garbage", cat(noise(rng, 61), clean), every(61, 6)},
		{"begins inside a frame", clean[11:], every(14, 5)},
		{"wrong end", wrongEnd, append(every(0, 2), every(75, 3)...)},
		{"wrong header", wrongHeader, append(every(0, 2), every(75, 3)...)},
		{"cut off", clean[:140], every(0, 5)},
		{"interrupted", cat(clean[:60], clean[75:]), append(every(0, 2), every(60, 3)...)},
		{"a byte lost", cat(clean[:60], clean[61:]), append(every(0, 2), every(74, 3)...)},
		{"a byte added", cat(added[:60], []byte{0x0F}, added[60:]), append(every(0, 2), every(76, 3)...)},
		{"others talk between frames", chatty, []int64{0, 34, 68, 102, 136, 170}},
		{"two back to back", clean[:50], every(0, 2)},
		{"one alone", clean[:25], nil},
		{"all 0x00", make([]byte, 500), nil},
		{"all 0xFF", bytes.Repeat([]byte{0xFF}, 500), nil},
		{"all 0x0F", bytes.Repeat([]byte{0x0F}, 500), nil},
		{"empty", nil, nil},
		{"an envelope inside still data", still(12), every(0, 12)},
		{"an envelope inside still data, begun late, then it moves",
			cat(still(4)[5:], frames(rng, 6)), every(20, 9)},
	}
}

func offsets(found []got) (o []int64) {
	for _, g := range found {
		o = append(o, g.Offset)
	}
	return o
}

func TestDirtAtEveryReadSize(t *testing.T) {
	for _, d := range dirtTable() {
		for piece := 1; piece <= max(1, len(d.stream)); piece++ {
			for _, tick := range []int{0, 1, 133} {
				var f servobus.Framer
				found := feed(&f, d.stream, piece, tick)
				require.Subset(t, append(d.want, -1), offsets(found), "%s in pieces of %d", d.name, piece)
				missed := len(d.want) - len(found)
				if d.name == "others talk between frames" {
					require.LessOrEqual(t, missed, 1, "the last may still wait for what follows it")
				} else {
					require.Equal(t, 0, missed, "%s in pieces of %d, tick %d: %v", d.name, piece, tick, offsets(found))
				}
				requireBalanced(t, &f)
				for _, g := range found {
					require.Equal(t, d.stream[g.Offset:g.Offset+25], g.Raw[:])
				}
				f.Reset()
				requireBalanced(t, &f)
				require.Zero(t, f.Pending())
			}
		}
	}
}

// What is emitted after how many bytes must not depend on the pieces.
func TestEmissionDependsOnBytesAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	stream := spoil(rng, frames(rng, 200), 0.01, 0.002)
	trace := func(piece int) (s []string) {
		var f servobus.Framer
		for at := 0; at < len(stream); at += piece {
			f.Feed(stream[at:min(at+piece, len(stream))], 0, false, func(*bus.Found) {})
			if end := at + piece; end%60 == 0 && end <= len(stream) {
				s = append(s, fmt.Sprint(f.Account(), f.Pending()))
			}
		}
		return s
	}
	want := trace(1)
	require.Greater(t, len(want), 80)
	for _, piece := range []int{2, 3, 5, 10, 12, 20, 60} {
		assert.Equal(t, want, trace(piece), "pieces of %d", piece)
	}
}

// spoil replaces bytes by others and drops or adds some, at the given shares.
func spoil(rng *rand.Rand, stream []byte, wrong, moved float64) (out []byte) {
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

func TestWrongBytesCostNoIntactFrame(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	const n = 40_000
	clean := frames(rng, n)
	dirty := spoil(rng, clean, 0.01, 0)
	var f servobus.Framer
	f.Feed(clean[:50], 0, false, func(*bus.Found) {}) // locked before the dirt
	seen := make([]bool, n)
	f.Feed(dirty, 0, false, func(x *bus.Found) {
		if o := x.Offset - 50; o%25 == 0 {
			seen[o/25] = true
		}
	})
	intact := 0
	for i := range n {
		if bytes.Equal(clean[25*i:25*i+25], dirty[25*i:25*i+25]) {
			intact++
			require.True(t, seen[i], "intact frame %d is missing", i)
		}
	}
	require.Greater(t, intact, n*7/10)
	requireBalanced(t, &f)
}

func TestDroppedAndAddedBytesCostHardlyAnIntactFrame(t *testing.T) {
	kept, intact := keptWhenMoved(rand.New(rand.NewPCG(13, 14)), 200_000, 0.001)
	assert.GreaterOrEqual(t, float64(kept)/float64(intact), 0.99999, "%d of %d", kept, intact)
}

// keptWhenMoved drops and adds bytes and counts the frames that came through
// whole and those of them that were found. Random channels make each frame its
// own fingerprint.
func keptWhenMoved(rng *rand.Rand, n int, share float64) (kept, intact int) {
	var f servobus.Framer
	f.Feed(frames(rng, 2), 0, false, func(*bus.Found) {})
	want := map[[servobus.FrameLen]byte]bool{}
	hear := func(x *bus.Found) {
		if want[[servobus.FrameLen]byte(x.Raw)] {
			kept++
			delete(want, [servobus.FrameLen]byte(x.Raw))
		}
	}
	for range n {
		frame := frames(rng, 1)
		dirty := spoil(rng, frame, 0, share)
		if bytes.Equal(frame, dirty) {
			intact++
			want[[servobus.FrameLen]byte(frame)] = true
		}
		f.Feed(dirty, 0, false, hear)
		if len(want) > 64 {
			clear(want) // long gone
		}
	}
	f.Feed(frames(rng, 4), 0, false, hear)
	return kept, intact
}

func TestAMinuteOfNoiseDoesNotLock(t *testing.T) {
	for _, tick := range []int{0, 1, 133} { // no dates, every byte its own, 16 ms clumps
		rng := rand.New(rand.NewPCG(15, 16))
		var f servobus.Framer
		found := feed(&f, noise(rng, 60*8333), 133, tick)
		assert.Empty(t, found)
		assert.False(t, f.Locked())
		assert.Less(t, f.Pending(), 400)
		requireBalanced(t, &f)
	}
}

func TestLockIsLostAndRefound(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	var f servobus.Framer
	feed(&f, frames(rng, 4), 25, 1)
	require.True(t, f.Locked())
	feed(&f, bytes.Repeat([]byte{0xAA}, 25*7), 25, 1)
	require.True(t, f.Locked(), "seven empty slots")
	feed(&f, bytes.Repeat([]byte{0xAA}, 25*3), 25, 1)
	require.False(t, f.Locked(), "ten empty slots")
	found := feed(&f, frames(rng, 4), 25, 1)
	require.Len(t, found, 4)
	assert.Equal(t, int64(2), f.Account().Locks)
}

func TestBadMarkTravelsWithItsFrame(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 20))
	stream := frames(rng, 5)
	var f servobus.Framer
	var bad []bool
	hear := func(x *bus.Found) { bad = append(bad, x.Bad) }
	f.Feed(stream[:60], 1, false, hear)
	f.Feed(stream[60:61], 2, true, hear)
	f.Feed(stream[61:], 3, false, hear)
	assert.Equal(t, []bool{false, false, true, false, false}, bad)
}

func TestOddFlagsAreCountedNotRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	stream := frames(rng, 5)
	for i := range 5 {
		stream[23+25*i] = 0x50
	}
	var f servobus.Framer
	require.Len(t, feed(&f, stream, 25, 1), 5)
	assert.Equal(t, int64(5), f.Account().OddFlags)
}

func TestNoAllocation(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	var frame bus.Frame
	for name, stream := range map[string][]byte{
		"good": frames(rng, 100), "bad": spoil(rng, frames(rng, 100), 0.02, 0.01), "noise": noise(rng, 2500),
	} {
		var f servobus.Framer
		hear := func(x *bus.Found) { servobus.Decode(x.Raw, &frame) }
		assert.Zero(t, testing.AllocsPerRun(20, func() { f.Feed(stream, 0, false, hear) }), name)
	}
}

func FuzzFramer(f *testing.F) {
	for _, d := range dirtTable() {
		f.Add(d.stream, uint8(7))
	}
	f.Fuzz(func(t *testing.T, stream []byte, piece uint8) {
		var whole, pieces servobus.Framer
		a := feed(&whole, stream, len(stream)+1, 0)
		b := feed(&pieces, stream, int(piece)+1, 0)
		require.Equal(t, a, b)
		require.Equal(t, whole.Account(), pieces.Account())
		requireBalanced(t, &whole)
		end := int64(0)
		for _, g := range a {
			require.GreaterOrEqual(t, g.Offset, end)
			require.Equal(t, stream[g.Offset:g.Offset+25], g.Raw[:])
			end = g.Offset + 25
		}
	})
}

func FuzzDecode(f *testing.F) {
	f.Add(frames(rand.New(rand.NewPCG(1, 2)), 1))
	f.Fuzz(func(t *testing.T, b []byte) {
		var raw, back [servobus.FrameLen]byte
		copy(raw[:], b)
		var frame bus.Frame
		servobus.Decode(raw[:], &frame)
		for _, c := range frame.Counts {
			require.LessOrEqual(t, c, uint32(2047))
		}
		raw[0] = 0x0F
		servobus.Encode(&frame, back[:])
		require.Equal(t, raw, back)
	})
}

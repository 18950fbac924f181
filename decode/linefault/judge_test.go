package linefault_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
)

// One clear line for each cause, with each way of marking; and whatever the pieces, the same
// is found.
func TestCauses(t *testing.T) {
	seen := map[linefault.Cause]bool{linefault.None: true, linefault.Nothing: true, linefault.Driver: true}
	for i, s := range situations() {
		for marks := range linesim.AllMarks {
			if s.readable(marks) {
				continue
			}
			right := 0
			for n := range uint64(3) {
				reads := s.reads(s.received(t, 5000+n, uint64(i)), marks, 5000+n, uint64(i))
				whole := linefault.Judge(protocol().Name, heard(reads, 0), span)
				for _, piece := range []int{1, 7} {
					require.Equal(t, whole, linefault.Judge(protocol().Name, heard(reads, piece), span), "in pieces of %d", piece)
				}
				if whole.Cause == s.cause {
					right++
				}
			}
			assert.GreaterOrEqual(t, right, 1, "%v %s, marks %v: found in %d of 3 lines", s.cause, s.detail, marks, right)
			seen[s.cause] = true
		}
	}
	assert.Len(t, seen, int(linefault.Causes))
}

func TestWhatNeedsNoTable(t *testing.T) {
	name := protocol().Name
	assert.Equal(t, linefault.Nothing, linefault.Judge(name, &linefault.Heard{}, span).Cause)
	s := situations()[0]
	h := heard(s.reads(s.received(t, 6000, 0), linesim.PerCharacter, 6000, 0), 0)
	require.Equal(t, linefault.Healthy, linefault.Judge(name, h, span).Cause)
	h.Lost = h.Chars / 20
	assert.Equal(t, linefault.Healthy, linefault.Judge(name, h, span).Cause)
	h.Lost++
	h.Lost++
	assert.Equal(t, linefault.Driver, linefault.Judge(name, h, span).Cause)
	assert.Equal(t, linefault.Driver, linefault.Judge(name, &linefault.Heard{Lost: 1}, span).Cause)
	assert.Equal(t, linefault.None, linefault.Judge("no such protocol", heard(s.reads(s.received(t, 6000, 0), 0, 6000, 0), 0), span).Cause,
		"a protocol without tables")
}

func TestNoCharacterAllocates(t *testing.T) {
	h := &linefault.Heard{}
	data := []byte("\x0F\x00\xFFabc")
	at := int64(0)
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		h.Feed(data, at, at%2 == 0)
		at += 3 * ms
	}))
}

// What is said names the cause, the rate where there is one, and what to do.
func TestWords(t *testing.T) {
	line := protocol().Line
	for c := range linefault.Causes {
		f := linefault.Finding{Cause: c, Detail: "-", Sure: 90}
		assert.NotEmpty(t, f.Sentence())
		assert.Equal(t, c == linefault.Healthy, f.Remedy(line) == "", c)
		assert.NotEqual(t, "unknown", c.String())
	}
	assert.Equal(t, "unknown", linefault.Causes.String())
	for want, f := range map[string]linefault.Finding{
		"most likely (60 %) the port reads at about 115200 8N1, which is not how the bus is sent": {Cause: linefault.Rate, Detail: "port 115200 8N1", Sure: 60},
		"perhaps (59 %) the bus is sent at about 200000 baud, which is not how the port reads":    {Cause: linefault.Rate, Detail: "line 200000", Sure: 59},
		"most likely (90 %) the port is set to another parity than the bus has": {
			Cause: linefault.Parity, Detail: "none", Sure: 90, Or: linefault.Rate, OrSure: 14},
		"perhaps (40 %) the signal wire is not connected, and picks up noise; " +
			"or else (35 %) the ground is not connected, and the signal wire picks up hum of the mains, 50 or 60 Hz": {
			Cause: linefault.Noise, Sure: 40, Or: linefault.Mains, OrSure: 35},
	} {
		assert.Equal(t, want, f.Sentence())
	}
	assert.Equal(t, "what arrives fits none of the causes that are known; the nearest (28 %): the bus is healthy, but this computer gets it late and in batches",
		linefault.Finding{Cause: linefault.None, Sure: 50, Or: linefault.Clumps, OrSure: 28}.Sentence())
	assert.Contains(t, linefault.Finding{Cause: linefault.Parity}.Remedy(line), "the port was set to 100000 8E2: either this adapter can't do that")
	guess, likely := linefault.Finding{Cause: linefault.Mains, Sure: 59}, linefault.Finding{Cause: linefault.Mains, Sure: 60}
	assert.Contains(t, guess.Advice(line), "first benchproof explain PORT --try")
	assert.Contains(t, guess.Advice(line), ". If that reads no bus: join a wire")
	assert.Equal(t, likely.Remedy(line), likely.Advice(line))
	assert.Contains(t, guess.HowSure(), "less than 60 % is a guess")
	assert.Contains(t, likely.HowSure(), "right in 98 of 100")
	assert.Empty(t, linefault.Finding{Cause: linefault.Nothing, Sure: 97}.HowSure())
	assert.True(t, linefault.Finding{Cause: linefault.Mains, Sure: 59}.Guessed())
	assert.True(t, linefault.Finding{Cause: linefault.None, Sure: 90}.Guessed())
	assert.False(t, linefault.Finding{Cause: linefault.Mains, Sure: 60}.Guessed())
	assert.Contains(t, linefault.Finding{Cause: linefault.Rate, Detail: "line 200000"}.Remedy(line), "it is sent at 100000 8E2")
}

func TestEvidence(t *testing.T) {
	assert.Equal(t, []string{"no character in 1.5 s"}, (&linefault.Heard{}).Evidence(span))
	h := &linefault.Heard{Lost: 3}
	for n := range int64(4) {
		h.Feed([]byte{1, 2, 3, 4, 0, 0}, 7*n*ms, n == 0)
	}
	h.Framed = 12
	assert.Equal(t, []string{
		"24 characters in 1.5 s", "25 % of them marked as bad", "in bursts of about 6.0, one every 7.0 ms",
		"75 % of them come again 6 characters later", "33 % are 0x00 (many ports hand that over for a bad one)",
		"50 % are part of frames", "the port says that it lost 3",
	}, h.Evidence(span))
}

// Reads that follow each other soon are one burst.
func TestBursts(t *testing.T) {
	h := &linefault.Heard{}
	for n := range int64(10) {
		for piece := range int64(3) {
			h.Feed([]byte{1, 2}, 10*n*ms+piece*2*ms, false)
		}
	}
	assert.Contains(t, h.Evidence(span), "in bursts of about 6.0, one every 10.0 ms")
}

// Whatever comes, in whatever pieces: the counts add up, and what is found is a cause.
func FuzzHeard(f *testing.F) {
	f.Add([]byte("\x0F\x00abc"), uint8(3), int64(1_000_000))
	f.Add([]byte{0, 0, 0, 0}, uint8(1), int64(-20_000_000))
	f.Fuzz(func(t *testing.T, data []byte, piece uint8, step int64) {
		step = max(min(step, 1<<40), -1<<40)
		h, at, n := &linefault.Heard{}, int64(0), int(piece)+1
		for i := 0; i < len(data); i += n {
			h.Feed(data[i:min(i+n, len(data))], at, data[i]&1 == 1)
			at += step
		}
		require.Equal(t, int64(len(data)), h.Chars)
		sum := int64(0)
		for _, v := range h.Values {
			sum += int64(v)
		}
		require.Equal(t, h.Chars, sum)
		found := linefault.Judge(protocol().Name, h, span)
		require.Less(t, found.Cause, linefault.Causes)
		require.True(t, found.Sure > 0 && found.Sure <= 97 && found.OrSure >= 0 && found.OrSure <= 50, "%+v", found)
		require.NotEmpty(t, found.Sentence())
		require.NotEmpty(t, h.Evidence(span))
	})
}

// BenchmarkFeed: what a character costs while nothing can be read.
func BenchmarkFeed(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	data := make([]byte, 62)
	for i := range data {
		data[i] = byte(rng.IntN(256))
	}
	h := &linefault.Heard{}
	b.SetBytes(int64(len(data)))
	for at := int64(0); b.Loop(); at += ms {
		h.Feed(data, at, false)
	}
}

func Example() {
	h := &linefault.Heard{}
	for n := range int64(75) { // a 0x00 with an error each 20 ms
		h.Feed([]byte{0}, 20*n*ms, true)
	}
	found := linefault.Judge("servo-bus", h, span)
	fmt.Println(found.Sentence())
	// Output: most likely (86 %) servo pulses are on this wire: it is a servo output, not the bus
}

// Where nearly all characters are part of frames, only causes that leave the bits right come
// into question, whatever else the line looks like: here as servo pulses.
func TestFramesAlone(t *testing.T) {
	pulses := func(framed, marked int64) linefault.Cause {
		h := &linefault.Heard{}
		for n := range int64(75) {
			h.Feed([]byte{0}, 20*n*ms, false)
		}
		h.Framed, h.Marked = framed, marked
		return linefault.Judge(protocol().Name, h, span).Cause
	}
	assert.Equal(t, linefault.Pulses, pulses(0, 75))
	assert.Equal(t, linefault.Pulses, pulses(67, 75))
	assert.Equal(t, linefault.Parity, pulses(68, 75))
	assert.Equal(t, linefault.Parity, pulses(68, 15))
	assert.Contains(t, []linefault.Cause{linefault.Healthy, linefault.Clumps}, pulses(68, 14))
}

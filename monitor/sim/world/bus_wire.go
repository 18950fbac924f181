package world

import (
	"math/bits"
	"math/rand/v2"
	"time"

	"benchproof.example/decode/bus"
)

// replyGap is the pause before a foreign device answers a frame, ns (an
// assumption).
const replyGap = int64(500 * time.Microsecond)

// wire is one servo bus, character by character, with what befalls it.
type wire struct {
	plan   *ReceiverPlan
	rng    *rand.Rand
	truths *truthLog
	to     charReceiver

	queue   []char
	free    int64 // from when nothing is on the line
	until   int64 // when the next frame starts
	noiseAt int64 // when the next stray character starts, if the line is free
	ends    []int64
}

// char is one character on its way. A listener has it at the end of its first
// stop bit.
type char struct {
	at    int64
	b     byte
	bad   bool // its parity is wrong
	ends  bool // a frame
	wrong bool // it was hit, whether parity shows it or not
}

// slot opens the time from one frame's start to the next one's.
func (w *wire) slot(from, until int64) { w.free, w.until = from, until }

// frame puts a frame on the line, unless it goes missing, and says whether it did.
func (w *wire) frame(start int64, frame bus.Frame) bool {
	if chance(w.rng, w.plan.Missing) {
		w.truths.note(start, "frame", w.plan.Name, "missing")
		return false
	}
	raw := make([]byte, onBus.FrameLen)
	onBus.Encode(&frame, raw)
	for i, b := range raw {
		c := char{b: b, ends: i == onBus.FrameLen-1}
		if chance(w.rng, w.plan.Damage) {
			c.hit(w.rng)
		}
		w.put(c)
	}
	w.chatter()
	return true
}

// hit flips one bit, or in a quarter of the cases two. Parity shows odd
// numbers only. The quarter is an assumption.
func (c *char) hit(rng *rand.Rand) {
	first := rng.IntN(8)
	flipped := byte(1) << first
	if rng.IntN(4) == 0 {
		flipped |= 1 << ((first + 1 + rng.IntN(7)) % 8)
	}
	c.b ^= flipped
	c.bad, c.wrong = bits.OnesCount8(flipped)%2 == 1, true
}

// chatter lets foreign devices answer about half of the frames.
func (w *wire) chatter() {
	if w.plan.Chatter == 0 || w.rng.IntN(2) == 0 {
		return
	}
	w.free += replyGap
	for range w.plan.Chatter {
		w.put(char{b: byte(w.rng.Uint32())})
	}
}

// rest fills what is left of the slot with stray characters. Half of them have
// the wrong parity.
func (w *wire) rest() {
	if w.plan.Noise == 0 {
		return
	}
	for ; w.noiseAt < w.until; w.noiseAt += int64(w.rng.ExpFloat64() * 1e9 / w.plan.Noise) {
		if w.noiseAt >= w.free && w.noiseAt+charTime <= w.until {
			w.free = w.noiseAt
			w.put(char{b: byte(w.rng.Uint32()), bad: w.rng.IntN(2) == 0})
		}
	}
}

func (w *wire) put(c char) {
	w.free += charTime
	c.at = w.free - lastStop
	w.queue = append(w.queue, c)
}

func (w *wire) due() int64 {
	if len(w.queue) == 0 {
		return Never
	}
	return w.queue[0].at
}

// act brings the next character to the adapter.
func (w *wire) act() {
	c := w.queue[0]
	w.queue = w.queue[1:]
	if c.wrong {
		w.truths.note(c.at, "character", w.plan.Name, "damaged")
	}
	if c.ends && w.truths.keep {
		w.ends = append(w.ends, c.at)
	}
	w.to.receive(c)
}

func chance(rng *rand.Rand, share float64) bool { return share > 0 && rng.Float64() < share }

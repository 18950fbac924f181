package world

import (
	"math/rand/v2"
)

// charReceiver hears the characters of a wire.
type charReceiver interface{ receive(c char) }

// adapter gathers the characters of a wire and hands them over through an
// outlet.
type adapter interface {
	actor
	charReceiver
	// lose forgets what was not handed over.
	lose()
}

// adapterKind is how an adapter hands over what it hears.
type adapterKind struct {
	clump int64 // ns from tick to tick of its timer, 0: it has none
	burst int   // characters that mostly come in one go
	char  int64 // ns that one takes
}

func busAdapter(clump int64) adapterKind {
	return adapterKind{clump: clump, burst: onBus.FrameLen, char: charTime}
}

func (k adapterKind) adapter(out *outlet, rng *rand.Rand) adapter {
	if k.clump > 0 {
		return &clumping{out: out, span: k.clump, tick: rng.Int64N(k.clump)}
	}
	return &promptAdapter{out: out, rng: rng, kind: k, last: longAgo}
}

// packet is what an adapter gathers. One bad character marks the whole.
type packet struct {
	data []byte
	bad  bool
}

func (p *packet) add(c char) { p.data, p.bad = append(p.data, c.b), p.bad || c.bad }

// send hands the packet to an outlet and starts a new one.
func (p *packet) send(at int64, out *outlet) {
	out.put(Delivery{At: at, Kind: Data, Data: p.data, Bad: p.bad})
	*p = packet{}
}

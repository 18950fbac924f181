package linefault_test

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
	"benchproof.example/decode/uart"
)

// strangers are lines whose causes the tables do not have. Where it is a serial stream after
// all, saying so is right.
func strangers() []situation {
	return []situation{
		{cause: linefault.Stream, detail: "text 4800 7E1", line: other(linesim.Text, uart.Format{Baud: 4800, Data: 7, Parity: uart.Even, Stop: 1})},
		{cause: linefault.Stream, detail: "text 2400 7O1 inverted",
			line: other(linesim.Text, uart.Format{Baud: 2400, Data: 7, Parity: uart.Odd, Stop: 1, Inverted: true})},
		{cause: linefault.Stream, detail: "packets 31250", line: other(linesim.Binary, format(31_250, uart.None, 1))},
		{cause: linefault.Stream, detail: "packets 500000", line: other(linesim.Binary, format(500_000, uart.Odd, 1))},
		{detail: "alternating", line: sure(linesim.Alternating)},
		{detail: "spaced", line: sure(linesim.Spaced)},
		{detail: "clock", line: sure(clock)},
		{detail: "carrier", line: sure(carrier)},
	}
}

// clock is a square wave in bursts of eight or nine, as a clocked bus has it.
func clock(rng *rand.Rand, end int64) linesim.Line {
	half := 2_000 + rng.Int64N(40_000)
	l := linesim.Line{End: end, Edges: []edge.Edge{{Level: edge.Low}}}
	for at := ms; at < end; at += half * (2 + rng.Int64N(200)) {
		for range 9 {
			l.Edges = append(l.Edges, edge.Edge{Tick: at, Level: edge.High}, edge.Edge{Tick: at + half, Level: edge.Low})
			at += 2 * half
		}
	}
	return l
}

// carrier is a remote control's: trains of short pulses, long and short.
func carrier(rng *rand.Rand, end int64) linesim.Line {
	l := linesim.Line{End: end, Edges: []edge.Edge{{Level: edge.Low}}}
	for at := ms; at < end; at += 40*ms + rng.Int64N(60*ms) {
		for range 32 {
			for range 20 {
				l.Edges = append(l.Edges, edge.Edge{Tick: at, Level: edge.High}, edge.Edge{Tick: at + 9_000, Level: edge.Low})
				at += 26_000
			}
			at += ms/2 + rng.Int64N(2)*ms
		}
	}
	return l
}

// baselines are two plain ways: the nearest histogram of characters, and the nearest
// shortest pulse, for which the line itself is looked at.
type baselines struct {
	causes []linefault.Cause
	bytes  [][256]float64
	pulses []float64
}

func histogram(h *linefault.Heard) (out [256]float64) {
	for v, n := range h.Values {
		out[v] = float64(n) / float64(max(h.Chars, 1))
	}
	return out
}

// shortest is the shortest time between two edges, as the logarithm of ns.
func shortest(l linesim.Line) float64 {
	least := l.End
	for i := 1; i < len(l.Edges); i++ {
		least = min(least, l.Edges[i].Tick-l.Edges[i-1].Tick)
	}
	return math.Log2(float64(max(least, 1)))
}

func (s *situation) lineOf(seed, n uint64) linesim.Line {
	l, _ := s.line(protocol(), rand.New(rand.NewPCG(seed, n)), span)
	return l
}

func learn(t *testing.T) (b baselines) {
	for i, s := range situations() {
		for n := range uint64(4) {
			l := s.lineOf(n, uint64(i))
			b.causes = append(b.causes, s.cause)
			b.bytes = append(b.bytes, histogram(heard(s.reads(s.received(t, n, uint64(i)), linesim.Marks(n), n, uint64(i)), 0)))
			b.pulses = append(b.pulses, shortest(l))
		}
	}
	return b
}

func (b *baselines) nearest(distance func(i int) float64) linefault.Cause {
	best := 0
	for i := range b.causes {
		if distance(i) < distance(best) {
			best = i
		}
	}
	return b.causes[best]
}

// score is what came of lines: all, right, and by how sure it was, in tenths.
type score struct {
	all, right   int
	sure, proved [10]int
}

func (s *score) add(f linefault.Finding, right bool) {
	s.all++
	s.sure[f.Sure/10]++
	if right {
		s.right++
		s.proved[f.Sure/10]++
	}
}

// seedsFrom is where the seeds begin that nothing was made with.
const seedsFrom = 7_390_000

// trial is what came of many lines.
type trial struct {
	known, unknown     score
	histogram, pulse   int // found by the two plain ways
	confused           map[string]int
	situations, others []situation
}

func (r *trial) line(t *testing.T, b *baselines, n uint64) {
	s, strange := &r.situations[n%uint64(len(r.situations))], n%5 == 4
	if strange {
		s = &r.others[n/5%uint64(len(r.others))]
	}
	marks := linesim.Marks(n / 3 % 4)
	if s.readable(marks) {
		marks = linesim.Zeroed
	}
	seed := seedsFrom + n
	h := heard(s.reads(s.received(t, seed, 9), marks, seed, 9), 0)
	f := linefault.Judge(protocol().Name, h, span)
	if strange {
		right := f.Cause == linefault.Stream || f.Cause == linefault.None
		r.unknown.add(f, right)
		r.confused[s.detail+" -> "+f.Cause.String()]++
		return
	}
	r.known.add(f, f.Cause == s.cause)
	if f.Cause != s.cause {
		r.confused[s.cause.String()+" -> "+f.Cause.String()]++
	}
	mine, pulse := histogram(h), shortest(s.lineOf(seed, 9))
	if b.nearest(func(i int) float64 { return distance(&mine, &b.bytes[i]) }) == s.cause {
		r.histogram++
	}
	if b.nearest(func(i int) float64 { return math.Abs(pulse - b.pulses[i]) }) == s.cause {
		r.pulse++
	}
}

func (r *trial) log(t *testing.T) {
	t.Logf("known causes: %d of %d right; by the nearest histogram %d, by the shortest pulse %d", r.known.right, r.known.all, r.histogram, r.pulse)
	t.Logf("unknown causes: %d of %d none or another stream", r.unknown.right, r.unknown.all)
	for tenth := range r.known.sure {
		t.Logf("sure %d to %d of a hundred: known %d of %d right, unknown %d of %d", 10*tenth, 10*tenth+9, r.known.proved[tenth], r.known.sure[tenth],
			r.unknown.proved[tenth], r.unknown.sure[tenth])
	}
	for _, k := range slices.Sorted(maps.Keys(r.confused)) {
		t.Logf("%s: %d", k, r.confused[k])
	}
}

// Over 500 lines of seeds that nothing was made with: most causes are found, far more than
// by either plain way, and what is said to be sure is.
func TestFiveHundredLines(t *testing.T) {
	r := trial{situations: situations(), others: strangers(), confused: map[string]int{}}
	b := learn(t)
	for n := range uint64(500) {
		r.line(t, &b, n)
	}
	r.log(t)
	known, unknown := &r.known, &r.unknown
	assert.GreaterOrEqual(t, known.right, 375, "381 when it was written")
	assert.Greater(t, known.right, r.histogram+known.all/10)
	assert.Greater(t, known.right, r.pulse+known.all/10)
	assert.GreaterOrEqual(t, 100*(known.proved[9]+unknown.proved[9]), 95*(known.sure[9]+unknown.sure[9]), "said to be sure")
	assert.GreaterOrEqual(t, known.sure[9], 100, "129 when it was written")
	assert.GreaterOrEqual(t, unknown.right, 58, "62 when it was written")
	surely := 0 // what is none of the causes, and was said to be one, and likely
	for tenth := 7; tenth < 10; tenth++ {
		surely += unknown.sure[tenth] - unknown.proved[tenth]
	}
	assert.LessOrEqual(t, 100*surely, 5*unknown.all)
}

func distance(a, b *[256]float64) (sum float64) {
	for i := range a {
		sum += math.Abs(a[i] - b[i])
	}
	return sum
}

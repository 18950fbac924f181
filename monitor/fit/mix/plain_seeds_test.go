package mix

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

// stirred is a log of some channels and of one output, of a receiver and hands that are drawn:
// slopes, delay, limits, dead band, wrong pulses, a drift, switches, pauses, frames that keep
// step with the pulses or do not, and movement of little or nothing.
func stirred(luck *rand.Rand) *Log {
	const ms = unit.Millisecond
	l, n := &Log{}, 1+luck.IntN(6)
	channels, slopes, hz, reach := make([]Channel, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for c := range n {
		channels[c] = Channel{Number: c + 1, Neutral: unit.Width(1_500_000 - 500_000*luck.IntN(2)), Centred: luck.IntN(3) > 0}
		slopes[c] = []float64{0, 1, -0.5, 2 * luck.Float64(), 0.3}[luck.IntN(5)]
		hz[c], reach[c] = 0.1+luck.Float64(), []float64{0, 3, 60, 400, 510}[luck.IntN(5)]
	}
	l.Begin(channels)
	frame, apart := []unit.Duration{7 * ms, 9 * ms, 14 * ms, 14 * ms / 3}[luck.IntN(4)], []unit.Duration{3 * ms, 20 * ms, 21 * ms, 20300 * ms / 1000}[luck.IntN(4)]
	late, limit, odd := unit.Duration(luck.Int64N(int64(150*ms))), []float64{2000, 600, 200}[luck.IntN(3)], []float64{0, 0, 0.03, 0.3}[luck.IntN(4)]
	noise, drift := []float64{0, 0.5, 4}[luck.IntN(3)], []float64{0, 0, 15}[luck.IntN(3)]
	phase, alone := luck.Float64(), luck.IntN(2) == 0
	place := func(c int, at unit.Duration) float64 {
		if at < 0 || alone && int(at/(2*unit.Second))%n != c {
			return 0
		}
		s := float64(at) / 1e9
		return reach[c] * math.Round(100*max(-1, min(1, 1.5*math.Sin(2*math.Pi*hz[c]*s+phase*float64(c))))) / 100
	}
	widths, rise := make([]unit.Width, n), 300*ms
	lasts := unit.Duration(1+luck.Int64N(24)) * unit.Second
	for at := unit.Duration(0); at < lasts; at += frame {
		if luck.IntN(400) == 0 {
			at += unit.Duration(luck.Int64N(int64(200 * ms)))
		}
		for c := range widths {
			widths[c] = 1_500_000 + unit.Width(1000*place(c, at))
		}
		l.Frame(unit.Time(at), widths)
		for ; rise+3*ms < at; rise += apart {
			y := 1500 + noise*luck.NormFloat64() + drift*math.Sin(float64(rise)/2e9)
			for c, slope := range slopes {
				y += slope * place(c, (rise-late)/frame*frame)
			}
			y = max(1500-limit, min(1500+limit, y))
			if luck.Float64() < odd {
				y = 800 + 1400*luck.Float64()
			}
			l.Pulse(1, unit.Time(rise), unit.Width(500*math.Round(2*y)))
		}
	}
	return l
}

// same are two lists alike to the last bit.
func same(t *testing.T, want, got []float64, what string, seed uint64) {
	t.Helper()
	require.Len(t, got, len(want), "%s, seed %d", what, seed)
	for i := range want {
		require.Equal(t, math.Float64bits(want[i]), math.Float64bits(got[i]), "%s %d, seed %d: want %v, got %v", what, i, seed, want[i], got[i])
	}
}

// What is kept from one delay and one round to the next changes no figure by a bit.
func TestFastAsPlain(t *testing.T) {
	fits := 0
	for seed := range uint64(60) {
		luck := rand.New(rand.NewPCG(seed, 17))
		l := stirred(luck)
		from := unit.Time(0)
		if len(l.Kept) > 8 && luck.IntN(4) == 0 {
			from = l.Kept[3].At
		}
		plain, list := l.plainSamples(1, from), l.samples(1, from)
		require.Len(t, list, len(plain))
		if len(list) < leastSamples {
			continue
		}
		cols := l.plainMoving(plain)
		require.Equal(t, cols, l.moving(list), "seed %d", seed)
		if len(cols) == 0 {
			continue
		}
		fits++
		for _, hint := range []unit.Duration{-1, 2 * unit.Millisecond, unit.Duration(luck.Int64N(int64(longestDelay)))} {
			want, doubt := l.plainDelay(plain, cols, hint)
			got, unsure := l.delay(list, cols, hint)
			require.Equal(t, want, got, "seed %d", seed)
			same(t, doubt, unsure, "doubt", seed)
		}
		d := unit.Duration(luck.Int64N(int64(longestDelay)))
		all, fast := l.plainAt(plain, d, len(plain)), l.at(list, d, len(list))
		same(t, all.x, fast.x, "place", seed)
		same(t, all.y, fast.y, "width", seed)
		same(t, all.slack, fast.slack, "slack", seed)
		require.Equal(t, all.at, fast.at)
		require.Equal(t, all.ends, fast.ends)
		fewer, less := all.keep(cols, cols[:1]), fast.keep(cols, cols[:1])
		for c := range fewer.cols {
			same(t, []float64{fewer.width(c)}, []float64{less.width(c)}, "range", seed)
		}
		use := make([]bool, len(plain))
		for i := range use {
			use[i] = luck.IntN(10) > 0
		}
		f, g := fewer.robust(use, nil, huberRounds, 2), less.robust(use, nil, huberRounds, 2)
		require.Equal(t, f == nil, g == nil, "seed %d", seed)
		if f == nil {
			continue
		}
		use[0] = !use[0]
		f, g = fewer.robust(use, f, 1, biweightRounds), less.robust(use, g, 1, biweightRounds)
		require.Equal(t, f == nil, g == nil, "seed %d", seed)
		if f != nil {
			same(t, f.b, g.b, "slope", seed)
			same(t, f.w, g.w, "weight", seed)
			same(t, f.u, g.u, "part", seed)
			same(t, []float64{f.sigma, f.drift}, []float64{g.sigma, g.drift}, "spread", seed)
		}
	}
	t.Logf("%d of 60 logs were fitted", fits)
	require.Greater(t, fits, 30)
}

// Errors that are too far apart to be alike are not looked at, and change no sum.
func TestPairsAsPlain(t *testing.T) {
	for seed := range uint64(60) {
		luck := rand.New(rand.NewPCG(seed, 18))
		z, at, now, own := []float64{}, []unit.Time{}, unit.Time(0), 0.0
		for range luck.IntN(300) {
			now = now.Add(unit.Duration(luck.Int64N(int64(90 * unit.Millisecond))))
			own = float64(0.9*own) + luck.NormFloat64()
			z, at = append(z, own*float64(luck.IntN(4))), append(at, now)
		}
		for _, k := range []kin{within, between} {
			alike := k.alike(z, at)
			same(t, []float64{k.plainPairs(z, at, alike)}, []float64{k.pairs(z, at, alike)}, "pairs", seed)
		}
	}
}

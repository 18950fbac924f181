package mix_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/mix"
)

// airframes are what an output makes of aileron, elevator, throttle and rudder: a
// normal wing, an elevon, a V-tail.
var airframes = [][]float64{{1, 0, 0, 0}, {0.5, -0.5, 0, 0}, {0, 0.5, 0, 0.5}}

// seeded is a receiver with a delay, a pace and an offset of its own.
func seeded(seed uint64) (receiver, *rand.Rand) {
	rng := rand.New(rand.NewPCG(seed, 9))
	r := plainReceiver(airframes[seed%3]...)
	r.delay = 0.1 * rng.Float64()
	r.frame = []float64{0.007, 0.009, 0.014}[rng.IntN(3)]
	r.pulse = []float64{0.003, 0.011, 0.02}[rng.IntN(3)]
	r.offset = 40 * (rng.Float64() - 0.5)
	return r, rng
}

// limited cuts about a third of the samples off, unevenly.
func limited(r *receiver, seed uint64) {
	r.low, r.high = 1500-170, 1500+205
	if seed%3 == 0 {
		r.low, r.high = 1500-360, 1500+420
	}
}

// tally is how the slopes of many fits lie.
type tally struct {
	reported, inside, wrong, backward int
	late                              float64
}

func (n *tally) add(f *mix.Fit, r *receiver) {
	for _, t := range f.Terms {
		off := math.Abs(float64(t.PPM)/1e6 - r.slopes[t.Channel-1])
		sure := float64(t.HalfInterval) / 1e6
		n.reported++
		if off <= sure {
			n.inside++
		}
		if off > max(3*sure, 0.02) {
			n.wrong++
		}
		if s := r.slopes[t.Channel-1]; s != 0 && (float64(t.PPM) < 0) != (s < 0) {
			n.backward++
		}
	}
	if f.Delay >= 0 {
		n.late = max(n.late, math.Abs(float64(f.Delay)/1e9-r.delay))
	}
}

func TestSeeds(t *testing.T) {
	for i, x := range []struct {
		name  string
		set   func(r *receiver, seed uint64, rng *rand.Rand)
		cut   bool    // limits must be found, else none may
		delay float64 // within which it must be found, s; a dead band or a drift blurs it
	}{
		{"plain", func(*receiver, uint64, *rand.Rand) {}, false, 0.006},
		{"saturated", func(r *receiver, seed uint64, _ *rand.Rand) { limited(r, seed) }, true, 0.006},
		{"wrong pulses", func(r *receiver, _ uint64, _ *rand.Rand) { r.odd = 0.02 }, false, 0.006},
		{"dead band", func(r *receiver, _ uint64, _ *rand.Rand) { r.dead = 16 }, false, 0.0075},
		{"saturated, wrong pulses", func(r *receiver, seed uint64, _ *rand.Rand) { limited(r, seed); r.odd = 0.02 }, true, 0.006},
		{"drift", func(r *receiver, _ uint64, rng *rand.Rand) { r.drift, r.driftHz = 20, 0.02+0.13*rng.Float64() }, false, 0.015},
	} {
		t.Run(x.name, func(t *testing.T) {
			n, fits := tally{}, 0
			for seed := uint64(i); seed < 200; seed += 5 {
				r, rng := seeded(seed)
				x.set(&r, seed, rng)
				l := logOf(4)
				h := oneByOne(4, seed)
				if seed/2%2 == 1 {
					h = stirring(seed, 1)
				}
				r.run(l, h, 0, 20, rng)
				f, ok := l.Fit(1, 0, -1)
				require.True(t, ok, seed)
				fits++
				n.add(&f, &r)
				assert.Equal(t, x.cut, f.Low.Width != 0 && f.High.Width != 0, "seed %d: both limits %+v", seed, f)
				assert.Equal(t, x.cut, f.Low.Width != 0 || f.High.Width != 0, "seed %d: a limit %+v", seed, f)
				if x.cut {
					assert.InDelta(t, r.low*1000, int64(f.Low.Width), 2_000, seed)
					assert.InDelta(t, r.high*1000, int64(f.High.Width), 2_000, seed)
				}
			}
			t.Logf("%+v", n)
			assert.GreaterOrEqual(t, n.reported, fits*4*95/100, "told")
			assert.GreaterOrEqual(t, float64(n.inside), 0.95*float64(n.reported), "slopes within their interval")
			assert.Zero(t, n.wrong, "slopes that are sure and wrong")
			assert.Zero(t, n.backward, "signs")
			assert.LessOrEqual(t, n.late, x.delay, "delay")
		})
	}
}

// A receiver hears the transmitter in packets and fills bus and pulses from those,
// each at its own pace.
func TestPackets(t *testing.T) {
	n := tally{}
	for seed := uint64(0); seed < 20; seed++ {
		r, rng := seeded(seed)
		r.packet = 0.009 + 0.003*rng.Float64()
		l := logOf(4)
		r.run(l, stirring(seed, 1), 0, 16, rng)
		f, ok := l.Fit(1, 0, -1)
		require.True(t, ok, seed)
		n.add(&f, &r)
	}
	t.Logf("%+v", n)
	assert.Equal(t, 80, n.reported)
	assert.GreaterOrEqual(t, n.inside, 76)
	assert.Zero(t, n.wrong+n.backward)
	assert.LessOrEqual(t, n.late, 0.012, "half a frame and the pace of the packets")
}

// The dead band is found near its width, and none where there is none.
func TestDeadBand(t *testing.T) {
	for _, dead := range []float64{0, 20, 30} {
		t.Run(fmt.Sprint(dead), func(t *testing.T) {
			for seed := uint64(0); seed < 6; seed++ {
				r, rng := seeded(seed)
				r.dead = dead
				l := logOf(4)
				r.run(l, oneByOne(4, seed), 0, 24, rng)
				f, ok := l.Fit(1, 0, -1)
				require.True(t, ok)
				assert.InDelta(t, dead*1000, int64(f.Dead), 4_000+150*dead, "seed %d", seed)
			}
		})
	}
}

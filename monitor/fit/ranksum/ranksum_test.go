package ranksum

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

var (
	before = []int64{0, 0, 3, 0, 5, 1}
	now    = []int64{4, 0, 9, 2, 7, 6}
)

// C: all 924 ways to draw six of twelve.
func TestTheCheckValue(t *testing.T) {
	ranks := doubledMidranks(append(append([]int64{}, now...), before...))
	seen, all, asHigh := sumOf(ranks[:6]), 0, 0
	for set := range 1 << 12 {
		var drawn []int64
		for i, r := range ranks {
			if set>>i&1 == 1 {
				drawn = append(drawn, r)
			}
		}
		if len(drawn) == 6 {
			all++
			if sumOf(drawn) >= seen {
				asHigh++
			}
		}
	}
	assert.Equal(t, 924, all)
	assert.InDelta(t, 0.05086580, float64(asHigh)/float64(all), 1e-8)
	assert.InDelta(t, 51, float64(More(now, before)), 21, "three standard deviations of 999 shuffles")
}

func TestDoubledMidranks(t *testing.T) {
	assert.Equal(t, []int64{}, doubledMidranks(nil))
	assert.Equal(t, []int64{2}, doubledMidranks([]int64{5}))
	assert.Equal(t, []int64{7, 2, 10, 4, 7}, doubledMidranks([]int64{3, 0, 9, 1, 3}))
}

func TestMore(t *testing.T) {
	assert.Equal(t, More(now, before), More(now, before), "the seed is fixed")
	assert.Greater(t, More(before, now), int64(900), "one-sided")
	assert.Equal(t, int64(1000), More(now, nil))
	assert.Equal(t, int64(1000), More(nil, now))
	assert.Equal(t, int64(1000), More([]int64{2, 2}, []int64{2, 2, 2}), "alike")
	many := make([]int64, 40)
	for i := range many {
		many[i] = 100
	}
	assert.Equal(t, int64(1), More(many, make([]int64, 40)), "a thousandth is the least")
}

func TestHolm(t *testing.T) {
	for _, c := range []struct {
		thousandths []int64
		want        []bool
	}{
		{nil, []bool{}},
		{[]int64{50}, []bool{true}},
		{[]int64{51}, []bool{false}},
		{[]int64{50, 25}, []bool{true, true}},
		{[]int64{50, 26}, []bool{false, false}},
		{[]int64{16, 900, 25}, []bool{true, false, true}},
		{[]int64{1, 900, 26, 30}, []bool{true, false, false, false}},
	} {
		assert.Equal(t, c.want, Holm(c.thousandths), "%v", c.thousandths)
	}
}

func TestSecondsNeeded(t *testing.T) {
	for _, c := range []struct {
		ppm     int64
		period  unit.Duration
		burst   int64
		seconds int64
	}{
		{10_000, 7 * unit.Millisecond, 5, 80},
		{10_000, 7 * unit.Millisecond, 6, 270},
		{49_999, 7 * unit.Millisecond, 1, 80},
		{50_000, 7 * unit.Millisecond, 5, 21},
		{400_000, 7 * unit.Millisecond, 20, 60},
		{10_000, 14 * unit.Millisecond, 5, 160},
		{10_000, 9 * unit.Millisecond, 5, 103},
		{10_000, 4 * unit.Millisecond, 5, 80},
	} {
		got, ok := SecondsNeeded(c.ppm, c.period, c.burst)
		assert.True(t, ok)
		assert.Equal(t, c.seconds, got, "%+v", c)
	}
	for _, c := range [][2]int64{{9_999, 5}, {50_000, 21}, {0, 0}} {
		_, ok := SecondsNeeded(c[0], 7*unit.Millisecond, c[1])
		assert.False(t, ok, "%v", c)
	}
}

// mark is what a mark misses, a block each: bursts by chance, so long on average, that come to
// such a share.
func mark(random *rand.Rand, seconds int, share, burst float64) []int64 {
	const perBlock = 286 // frames of 7 ms
	blocks := make([]int64, seconds/2)
	begins, ends := share/(burst*(1-share)), 1/burst
	missing := random.Float64() < share
	for i := range blocks {
		for range perBlock {
			if missing {
				blocks[i]++
				missing = random.Float64() >= ends
			} else {
				missing = random.Float64() < begins
			}
		}
	}
	return blocks
}

// rate is how often two sessions at a mark differ at one in twenty.
func rate(n, seconds int, earlier, now, burst float64) float64 {
	differ := 0
	for seed := range n {
		random := rand.New(rand.NewPCG(uint64(seconds), uint64(seed)))
		if More(mark(random, seconds, now, burst), mark(random, seconds, earlier, burst)) <= 50 {
			differ++
		}
	}
	return float64(differ) / float64(n)
}

// runs are how many pairs of sessions are made.
func runs(t *testing.T) int {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 150
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return 10 * n
}

// Sessions that are alike differ in no more than one case of twenty, within the error of the
// simulation; as long as the table says, four of five see a doubling; much shorter ones don't.
func TestSizeAndPower(t *testing.T) {
	n := runs(t)
	for _, row := range power {
		share := float64(row.sharePPM) / 1e6
		size := rate(n, int(row.seconds), share, share, float64(row.burst))
		seen := rate(n, int(row.seconds), share, 2*share, float64(row.burst))
		short := rate(n, int(row.seconds)/4, share, 2*share, float64(row.burst))
		t.Logf("%+v: size %.3f, power %.2f, in a quarter of the time %.2f", row, size, seen, short)
		assert.Less(t, size, 0.058+3*0.234/math.Sqrt(float64(n)), "%+v", row)
		assert.Greater(t, seen, 0.8-3*0.4/math.Sqrt(float64(n)), "%+v", row)
		assert.Less(t, short, 0.65, "%+v", row)
	}
}

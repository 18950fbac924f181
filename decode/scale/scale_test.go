package scale_test

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/decode/scale"
)

// The pairs are common practice: 172, 992 and 1811 counts are −100, 0 and +100 %.
func TestCommonScale(t *testing.T) {
	for _, c := range []struct{ count, width, percent int64 }{
		{0, 880_000, -12109}, {172, 987_500, -10010}, {992, 1_500_000, 0}, {1811, 2_011_875, 9998}, {2047, 2_159_375, 12878},
	} {
		assert.Equal(t, c.width, scale.Common.Width(c.count))
		assert.Equal(t, c.count, scale.Common.Count(c.width))
		assert.Equal(t, c.percent, scale.Percent(c.width))
	}
	assert.Equal(t, int64(625), scale.Common.PerCount())
}

// rcChannels is what the MAVLink common message set says of RC_CHANNELS, word by
// word, as the npm package mavlink-mappings 1.0.0 carries it.
const rcChannels = "The PPM values of the RC channels received. The standard PPM modulation is as follows: " +
	"1000 microseconds: 0%, 2000 microseconds: 100%."

func TestStandardPercentIsThatOfRCChannels(t *testing.T) {
	points := regexp.MustCompile(`(\d+) microseconds: (\d+)%`).FindAllStringSubmatch(rcChannels, -1)
	require.Len(t, points, 2)
	for _, p := range points {
		us, err := strconv.ParseInt(p[1], 10, 64)
		require.NoError(t, err)
		percent, err := strconv.ParseInt(p[2], 10, 64)
		require.NoError(t, err)
		assert.Equal(t, 100*percent, scale.StandardPercent(1000*us), p[0])
	}
}

func TestTwoPointsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.Int64Range(0, 2047)
		width := rapid.Int64Range(500_000, 2_500_000)
		s := scale.Scale{Counts: [2]int64{count.Draw(t, "c0"), count.Draw(t, "c1")}, Nanos: [2]int64{width.Draw(t, "w0"), width.Draw(t, "w1")}}
		if s.Check() != nil {
			require.True(t, s.Counts[0] == s.Counts[1] || s.Nanos[0] == s.Nanos[1])
			return
		}
		for i := range 2 {
			require.Equal(t, s.Nanos[i], s.Width(s.Counts[i]))
			require.Equal(t, s.Counts[i], s.Count(s.Nanos[i]))
		}
		c := count.Draw(t, "count")
		if s.PerCount() > 2 { // steeper than rounding
			require.Equal(t, c, s.Count(s.Width(c)))
		}
	})
}

func TestCheck(t *testing.T) {
	assert.NoError(t, scale.Common.Check())
	assert.ErrorContains(t, scale.Scale{Nanos: [2]int64{1, 2}}.Check(), "0 counts")
	assert.ErrorContains(t, scale.Scale{Counts: [2]int64{1, 2}, Nanos: [2]int64{7, 7}}.Check(), "7 ns")
}

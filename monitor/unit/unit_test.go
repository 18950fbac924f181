package unit_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

func TestInstantsAndDurations(t *testing.T) {
	at := unit.Time(3 * unit.Second)
	assert.Equal(t, unit.Time(3_007_000_000), at.Add(7*unit.Millisecond))
	assert.Equal(t, unit.Time(2_993_000_000), at.Add(-7*unit.Millisecond))
	assert.Equal(t, 2*unit.Second, at.Sub(1_000_000_000))
	assert.Equal(t, -unit.Second, at.Sub(4_000_000_000))
	assert.Equal(t, unit.Never, unit.Never.Add(0))
	for from, want := range map[unit.Time]unit.Time{0: 0, 999: 0, 1_000: 1_000, 1_999: 1_000, 2_000: 2_000} {
		assert.Equal(t, want, from.Truncate(unit.Microsecond), "%d", from)
	}
}

func TestWidths(t *testing.T) {
	assert.Equal(t, 1500*unit.Microsecond, unit.Width(1_500_000).Duration())
	assert.Equal(t, unit.Width(-200_000), unit.Width(400_000).Share(-500_000))
	assert.Equal(t, unit.Width(1), unit.Width(1).Share(1_999_999), "what is less than a nanosecond is cut off")
	assert.Equal(t, unit.Width(3), unit.Abs(unit.Width(-3)))
	assert.Equal(t, unit.Width(3), unit.Abs(unit.Width(3)))
}

// What is stored and published is plain whole numbers.
func TestAsJSON(t *testing.T) {
	got, err := json.Marshal([]any{unit.Time(-1), 2 * unit.Second, unit.Width(3), map[string]unit.Width{"a": 4}})
	require.NoError(t, err)
	assert.JSONEq(t, `[-1, 2000000000, 3, {"a": 4}]`, string(got))
}

package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

func TestAxes(t *testing.T) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	for _, c := range []struct {
		axis    string
		channel int
		end     string
		width   int64
		output  int
	}{
		{sheet.Roll, 1, "left", 988_000, 1},
		{sheet.Pitch, 2, "back", 2_012_000, 2},
		{sheet.Yaw, 4, "right", 2_012_000, 4},
	} {
		t.Run(c.axis, func(t *testing.T) {
			channel, end, ok := s.Reference(c.axis)
			require.True(t, ok)
			assert.Equal(t, c.channel, channel.Number)
			assert.Equal(t, sheet.Place{Name: c.end, Width: c.width}, end)
			corrected := s.Corrected(c.axis)
			require.Len(t, corrected, 1)
			assert.Equal(t, c.output, corrected[0].Number)
		})
	}
	_, _, ok := s.Reference("heave")
	assert.False(t, ok)
	s.Channels[0].Name = "bank"
	_, _, ok = s.Reference(sheet.Roll)
	assert.False(t, ok, "no channel of that name")
}

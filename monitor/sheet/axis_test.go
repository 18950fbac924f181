package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

func TestAxes(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	for _, c := range []struct {
		axis    string
		channel int
		end     string
		width   unit.Width
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

func TestWhatIsNoReference(t *testing.T) {
	for name, change := range map[string]func(c *sheet.Channel){
		"no stick":        func(c *sheet.Channel) { c.Kind = sheet.Switch },
		"no end that way": func(c *sheet.Channel) { c.Places = []sheet.Place{{Name: "port", Width: 988_000}} },
	} {
		s, err := sheet.Read("starter", sheettest.TwoSwitches())
		require.NoError(t, err)
		change(&s.Channels[0])
		_, _, ok := s.Reference(sheet.Roll)
		assert.False(t, ok, name)
	}
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	s.Channels[0].Name = "Aileron"
	_, _, ok := s.Reference(sheet.Roll)
	assert.True(t, ok, "capitals don't matter")
}

// A hand raises a tail more easily than a wing.
func TestTheAxisThatIsTilted(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	for _, x := range []struct {
		left int // outputs
		want string
	}{{4, sheet.Pitch}, {1, sheet.Roll}, {0, ""}} {
		s.Outputs = s.Outputs[:x.left]
		assert.Equal(t, x.want, s.Tilted())
	}
}

package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What a series is measured in is the first wanted mode whose answers stay.
func TestAGainSeriesWantsAnswersThatStay(t *testing.T) {
	s, err := sheet.Read("example", example(t))
	require.NoError(t, err)
	assert.Equal(t, "upright", s.Answering().Name)
	s, err = sheet.Read("example", []byte(strings.Replace(string(example(t)), "does: stays", "does: returns", 1)))
	require.NoError(t, err)
	assert.Nil(t, s.Answering())
}

func TestGainShares(t *testing.T) {
	folded := &sheet.Gain{Law: sheet.Folded, Zero: 1_500_000, Full: []unit.Width{988_000, 2_012_000}}
	sided := &sheet.Gain{Law: sheet.OneSided, Zero: 1_900_000, Full: []unit.Width{1_100_000}}
	for _, x := range []struct {
		gain *sheet.Gain
		at   unit.Width
		ppm  int64
	}{
		{folded, 1_500_000, 0}, {folded, 1_756_000, 500_000}, {folded, 1_244_000, 500_000}, {folded, 2_012_000, 1_000_000}, {folded, 2_100_000, 1_000_000},
		{sided, 1_900_000, 0}, {sided, 1_700_000, 250_000}, {sided, 1_000_000, 1_000_000}, {sided, 2_000_000, 0},
	} {
		assert.Equal(t, x.ppm, x.gain.Share(x.at), "%s at %d", x.gain.Law, x.at)
	}
}

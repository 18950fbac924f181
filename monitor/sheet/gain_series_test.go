package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

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

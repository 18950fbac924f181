package wiretime_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// A busy computer reads late, and then a little less late with each frame: what is learned
// there is too short a period. No frame is missing, and none may be said to be; frames
// that are left out later are counted as before.
func TestAPeriodThatWasLearnedTooShortIsMended(t *testing.T) {
	const period = 7 * unit.Millisecond
	for seed := range uint64(200) {
		luck := rand.New(rand.NewPCG(seed, 0))
		catchUp := unit.Duration(luck.IntN(9)) * unit.Millisecond // over the frames in which it learns
		late := func(frame int) unit.Duration {
			lag := unit.Duration(luck.IntN(300)) * unit.Microsecond
			if frame >= 400 && frame < 437 { // read at once, in the end
				return unit.Duration(437-frame)*period + lag/100
			}
			if rest := 437 + 16 + 64 - frame; frame >= 437 && rest > 0 {
				return catchUp*unit.Duration(rest)/80 + lag
			}
			return lag
		}
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		var last unit.Time
		missing := 0
		for frame := range 3000 {
			if frame > 2000 && frame%100 == 0 {
				continue // the bus leaves it out
			}
			at := unit.Time(unit.Duration(frame)*period + late(frame))
			last = max(last.Add(unit.Microsecond), at)
			_, pace := e.Frame(last)
			missing += pace.Missing
			if frame == 1999 {
				assert.Zero(t, missing, "seed %d, caught up with %v", seed, catchUp)
				missing = 0
			}
		}
		assert.InDelta(t, 9, missing, 1, "seed %d, caught up with %v", seed, catchUp)
	}
}

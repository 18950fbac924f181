package wiretime_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// learnedOver holds the first period that is known to the bus's own, and nothing counts
// as missing behind it.
func learnedOver(t *testing.T, dates []unit.Time, period, within unit.Duration, hole int) {
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	first, missing := unit.Duration(0), 0
	for _, d := range dates {
		_, pace := e.Frame(d)
		if pace.Known && first == 0 {
			first = pace.Period
		}
		missing += pace.Missing
	}
	require.InDelta(t, int64(period), int64(first), float64(within), "hole behind frame %d", hole)
	require.Zero(t, missing, "hole behind frame %d", hole)
}

// A hiccup of the bus, or one frame that never comes, while the period is learned. Where
// the adapter's clumps hide that frame, the first period is off by a twenty-fifth at most.
func TestAHoleWhileLearningSpoilsNothing(t *testing.T) {
	for _, period := range []unit.Duration{7, 9, 11, 14, 18, 22} {
		for _, clump := range []unit.Duration{0, 1, 16} {
			for _, hole := range []unit.Duration{0, 50, 100, 150, 190} {
				t.Run(fmt.Sprintf("%d ms of %d ms by %d ms", hole, period, clump), func(t *testing.T) {
					for i := 1; i < 63; i++ {
						a := adapter{period: period*ms + unit.Duration(i%5)*7*unit.Microsecond, clump: clump * ms}
						_, dates := a.run(uint64(i), 600)
						within := 250 * unit.Microsecond
						if hole == 0 && clump > period/2 {
							within = a.period / 25
						}
						learnedOver(t, slices.Delete(dates, i, i+max(1, int(hole/period))), a.period, within, i)
					}
				})
			}
		}
	}
}

func TestTwoHolesWhileLearning(t *testing.T) {
	for i := 1; i < 40; i++ {
		a := adapter{period: 7 * ms, clump: unit.Duration(i%2) * 16 * ms}
		_, dates := a.run(uint64(i), 600)
		dates = slices.Delete(dates, i+20, i+35)
		learnedOver(t, slices.Delete(dates, i, i+15), a.period, 250*unit.Microsecond, i)
	}
}

// An adapter whose step is nearly the period leaves a long step now and then: it has no
// holes, and its period is learned.
func TestStepsNearlyAsLongAsThePeriod(t *testing.T) {
	for off := unit.Duration(-400); off <= 400; off += 20 {
		a := adapter{period: 16*ms + off*unit.Microsecond, clump: 16 * ms}
		_, dates := a.run(1, 200)
		e := wiretime.NewEstimator(3 * unit.Millisecond)
		var pace event.Pace
		for _, d := range dates[:128] {
			_, pace = e.Frame(d)
		}
		assert.True(t, pace.Known, "%d", a.period)
	}
}

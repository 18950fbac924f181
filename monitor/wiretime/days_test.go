package wiretime_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

const hour = 60 * unit.Minute

// A session lasts for days, or goes on a year later: the estimates are those of its
// first hour.
func TestEstimatesAreTheSameAfterDays(t *testing.T) {
	a := adapter{period: 7 * unit.Millisecond, clump: 16 * unit.Millisecond, missing: 0.003}
	_, dates := a.run(5, 4000)
	for name, later := range map[string]unit.Duration{
		"an hour": hour, "as another zero is taken on the way": 2*hour - 10*unit.Second,
		"as a line in fractions of a nanosecond ends": 1<<47 - 10*unit.Second, "three days": 72 * hour, "ten years": 87660 * hour,
	} {
		t.Run(name, func(t *testing.T) {
			first := wiretime.NewEstimator(3 * unit.Millisecond)
			then, on := first, first
			for _, d := range dates {
				on.Frame(d)
			}
			for i, d := range dates {
				wantWire, wantPace := first.Frame(d)
				gotWire, gotPace := then.Frame(d.Add(later))
				require.Equal(t, wantWire, gotWire.Add(-later), "frame %d", i)
				require.Equal(t, wantPace, gotPace, "frame %d", i)
				gotWire, gotPace = on.Frame(d.Add(later))
				assert.InDelta(t, int64(d.Add(later)), int64(gotWire), float64(40*unit.Millisecond), "frame %d of a session that goes on", i)
				assert.InDelta(t, int64(a.period), int64(gotPace.Period), 20_000)
			}
		})
	}
}

// A session of hours never stops being heard.
func TestEstimatesAreTheSameOverHours(t *testing.T) {
	e := wiretime.NewEstimator(3 * unit.Millisecond)
	const period = 9 * unit.Millisecond
	for at := unit.Duration(0); at < 5*hour; at += period {
		wire, pace := e.Frame(unit.Time(at))
		if wire != unit.Time(at) || pace.Missing != 0 {
			require.Equal(t, unit.Time(at), wire)
			require.Zero(t, pace.Missing)
		}
	}
}

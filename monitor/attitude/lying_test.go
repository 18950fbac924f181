package attitude_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/unit"
)

// A model that has rested for a second lies as in its latest second, however it came to rest.
func TestWhereAModelRests(t *testing.T) {
	for name, x := range map[string]struct {
		holds float64 // seconds, the last stage
		later unit.Duration
		rests bool
	}{
		"for long":               {4, 0, true},
		"for little more":        {1.4, 0, true},
		"for less than a second": {0.4, 0, false},
		"heard of just now":      {4, 700 * unit.Millisecond, true},
		"not heard of since":     {4, 1300 * unit.Millisecond, false},
	} {
		t.Run(name, func(t *testing.T) {
			k := play(flat, true, 0, 1, still(3), stage{1, 0, 0, -26, 1.5, x.holds})
			rest, left := k.Rested(k.Last.At.Add(x.later))
			assert.Equal(t, x.rests, rest.Tenths > 0)
			if !x.rests {
				return
			}
			assert.InDelta(t, float64(3*second), float64(left), float64(350*unit.Millisecond), "the rest before")
			if x.holds > 2 {
				assert.LessOrEqual(t, rest.Stray, int64(2))
				level, _ := play(flat, true, 0, 1, still(3)).Rested(3 * second)
				turn := attitude.LeanOf(&level, &rest, attitude.TopNose)
				assert.InDelta(t, -2600, turn.Signed(), 2)
				assert.LessOrEqual(t, turn.DoubtCdeg, int64(52))
			}
		})
	}
	k := play(flat, true, 0.1, 1, stage{1, 0, 0, 300, 12, 0})
	rest, _ := k.Rested(k.Last.At)
	assert.Zero(t, rest.Tenths, "it moves")
}

// How a model leans does not depend on how often it was turned about the vertical meanwhile, nor on what a gyroscope
// says of that, and a lean of a few degrees is one.
func TestHowAModelLeans(t *testing.T) {
	pitch, roll := attitude.Ask{Axis: "pitch"}, attitude.Ask{Axis: "roll"}
	for name, x := range map[string]struct {
		ask         attitude.Ask
		x, y, z     float64
		degrees     float64
		sight       attitude.Sight
		pitch, roll int64
	}{
		"a little":             {pitch, 1, 0, 0, -6, attitude.SightAsked, -600, 0},
		"less than that":       {pitch, 1, 0, 0, -2, attitude.SightNobody, -200, 0},
		"nose for tail":        {pitch, 1, 0, 0, 6, attitude.SightOpposite, 600, 0},
		"a wing":               {roll, 0, 1, 0, 6, attitude.SightAsked, 0, 600},
		"a wing for a tail":    {pitch, 0, 1, 0, 6, attitude.SightOther, 0, 600},
		"two axes, and little": {pitch, 1, -1, 0, -6, attitude.SightDoubtful, -424, 424},
		"two axes":             {pitch, 1, -1, 0, -20, attitude.SightDoubtful, -1411, 1411},
	} {
		t.Run(name, func(t *testing.T) {
			spun := stage{0, 0, 1, 170, 2, 2}
			k := play(flat, true, 0, 1, still(3), spun, stage{0, 0, 1, -170, 2, 2}, stage{x.x, x.y, x.z, x.degrees, 0.5, 3})
			rest, _ := k.Rested(k.Last.At)
			turn := attitude.LeanOf(&k.Rests[0], &rest, attitude.TopNose)
			assert.Equal(t, x.sight, turn.Leans(x.ask), "%+v", turn)
			assert.Zero(t, turn.YawCdeg)
			assert.InDelta(t, x.pitch, turn.PitchCdeg, 15)
			assert.InDelta(t, x.roll, turn.RollCdeg, 15)
			assert.Equal(t, turn.PitchCdeg, (&attitude.Turn{PitchCdeg: turn.PitchCdeg, Axis: "roll", AngleCdeg: 900}).About("pitch"))
		})
	}
}

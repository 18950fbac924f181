package attitude

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
)

// lain is a rest on a surface that leans, of a phone that is turned by so many degrees to the left on it and off by a bias, all degrees.
func lain(lean [2]float64, turned float64, bias [2]float64, at int64) Rest {
	sin, cos := math.Sincos(turned * math.Pi / 180)
	x, y := lean[0]*cos+lean[1]*sin, -lean[0]*sin+lean[1]*cos
	up := func(degrees float64) int64 { return int64(math.Round(1e6 * math.Sin(degrees*math.Pi/180))) }
	r := Rest{Up: Vector{up(x + bias[0]), up(y + bias[1]), 0}, FromNS: unit.Time(at) * unit.Time(unit.Second), Gyro: true}
	r.Up[2] = root(1e12 - r.Up[0]*r.Up[0] - r.Up[1]*r.Up[1])
	r.ToNS = r.FromNS.Add(2 * unit.Second)
	r.YawFrom = int64(100 * turned)
	r.YawTo = r.YawFrom
	return r
}

func TestAPhoneTurnedHalfRound(t *testing.T) {
	for _, lean := range [][2]float64{{0, 0}, {3, -2}, {-6, 4}} {
		for _, bias := range [][2]float64{{0, 0}, {0.8, -0.5}, {-1.5, 1}} {
			for _, turned := range []float64{160, 180, -172} {
				t.Run(fmt.Sprint(lean, bias, turned), func(t *testing.T) {
					rests := []Rest{lain(lean, 0, bias, 0), lain(lean, turned, bias, 10), lain(lean, 2, bias, 20)}
					r := RoundOf(&rests[0], &rests[1], &rests[2], rests, TopNose)
					assert.Empty(t, r.Why)
					assert.InDelta(t, 100*math.Hypot(bias[0], bias[1]), float64(r.BiasCdeg), float64(r.DoubtCdeg)+2)
					// up leans to the right of the phone where the left wing is raised less than the right one
					assert.InDelta(t, 100*lean[1], -100*float64(-r.PitchCdeg)/100, float64(r.DoubtCdeg)+30, "pitch")
					assert.InDelta(t, -100*lean[0], float64(r.RollCdeg), float64(r.DoubtCdeg)+30, "roll")
					clean := rests[2].Without(r.Bias)
					assert.LessOrEqual(t, Between(clean.Up, lain(lean, 2, [2]float64{}, 0).Up), r.DoubtCdeg+2)
				})
			}
		}
	}
}

func TestWhatIsNoTurnHalfRound(t *testing.T) {
	for want, change := range map[string]func(r []Rest){
		"":                func([]Rest) {},
		roundUnseen:       func(r []Rest) { r[1].Gyro = false },
		roundHole:         func(r []Rest) { r[2].HoleNS = hole + 1 },
		roundLifted:       func(r []Rest) { r[1].MostCdeg = 4000 },
		roundNotHalf:      func(r []Rest) { r[1].YawFrom, r[1].YawTo = 9000, 9000 },
		roundMoved:        func(r []Rest) { r[2] = lain([2]float64{3, -1.3}, 0, [2]float64{0.5, 0.5}, 20) },
		roundTooMuch:      func(r []Rest) { r[1].Up = r[0].Up; r[0].Up[0], r[1].Up[0], r[2].Up[0] = 90_000, 90_000, 90_000 },
		roundLifted + "!": func(r []Rest) { r[2].Leapt = true },
	} {
		t.Run(want, func(t *testing.T) {
			lean, bias := [2]float64{3, -2}, [2]float64{0.5, 0.5}
			rests := []Rest{lain(lean, 0, bias, 0), lain(lean, 180, bias, 10), lain(lean, 0, bias, 20)}
			change(rests)
			r := RoundOf(&rests[0], &rests[1], &rests[2], rests, TopNose)
			assert.Equal(t, want, r.Why+map[bool]string{true: "!"}[r.Why == roundLifted && want != roundLifted])
		})
	}
}

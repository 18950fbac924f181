package attitude_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/num/quat"

	"benchproof.example/decode/tilt"
	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/unit"
)

func TestAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		y, x := rng.Int64N(2_000_001)-1_000_000, rng.Int64N(2_000_001)-1_000_000
		assert.InDelta(t, math.Atan2(float64(y), float64(x))*18000/math.Pi, attitude.Angle(y, x), 0.6, "%d %d", y, x)
	}
	for _, x := range []struct{ y, x, want int64 }{{0, 0, 0}, {0, 5, 0}, {5, 0, 9000}, {-5, 0, -9000}, {0, -5, 18000}, {1, 1, 4500}, {-1, -1, -13500}} {
		assert.Equal(t, x.want, attitude.Angle(x.y, x.x), "%d %d", x.y, x.x)
	}
}

// hands hold a model so: each stage for so long, on the way turning by its angle about its axis.
type stage struct {
	x, y, z, degrees float64 // by which it is turned on the way there, about the phone's axes
	takes, holds     float64 // seconds
}

// play gives the attitudes of a phone that lies on a model to a tracker, sixty a second.
func play(lies tilt.Quaternion, gyro bool, noise float64, seed uint64, stages ...stage) *attitude.Tracker {
	rng := rand.New(rand.NewPCG(seed, 1))
	k, q, at := &attitude.Tracker{}, tilt.Quaternion{1, 0, 0, 0}, 0.0
	before := q.Then(lies)
	add := func(model tilt.Quaternion) {
		now := model.Then(lies)
		shown := now.Then(tilt.About(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), noise*rng.NormFloat64()))
		s := attitude.Sample{At: unit.Time(at * 1e9), Up: (&tilt.Attitude{Turn: shown.Counts()}).Up(), Gyro: gyro}
		d := before.Inverse().Then(now)
		if gyro {
			up := (&tilt.Attitude{Turn: now.Counts()}).Up()
			for i := range up {
				rate := 2 * d[i+1] * 180 / math.Pi * 60 * 100 // cdeg/s
				s.Yaw += int64(rate * float64(up[i]) / tilt.Vertical)
				s.Rate = max(s.Rate, int64(math.Abs(rate)/100))
			}
		}
		before = now
		k.Add(s)
		at += 1. / 60
	}
	for _, s := range stages {
		from := q
		for n := 0.0; n < s.takes*60; n++ {
			part := n / (s.takes * 60)
			smooth := part * part * (3 - 2*part)
			add(from.Then(tilt.About(s.x, s.y, s.z, s.degrees*smooth)))
		}
		if s.degrees != 0 {
			q = from.Then(tilt.About(s.x, s.y, s.z, s.degrees))
		}
		for range int(s.holds * 60) {
			add(q)
		}
	}
	return k
}

var flat = tilt.Quaternion{1, 0, 0, 0}

// still is a model that lies.
func still(seconds float64) stage { return stage{x: 1, holds: seconds} }

const second = unit.Time(unit.Second)

// Tail raised is the top edge lowered, for a phone whose top edge points to the nose: a negative turn about
// its x; left wing raised is a positive one about its y, nose to the left a positive one about its z.
func TestWhatWasTiltedIsSeen(t *testing.T) {
	pitch, roll, yaw := attitude.Ask{Axis: "pitch"}, attitude.Ask{Axis: "roll"}, attitude.Ask{Axis: "yaw"}
	other := func(a attitude.Ask) attitude.Ask { a.Opposite = true; return a }
	for name, x := range map[string]struct {
		ask    attitude.Ask
		top    attitude.Top
		tilt   stage
		sight  attitude.Sight
		why    string
		gyro   bool
		askew  float64
		signed int64
	}{
		"tail raised":                    {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, 0, -3000},
		"tail raised, askew by 20°":      {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, 20, -3000},
		"tail raised, askew the other":   {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, -20, -3000},
		"tail raised, no gyroscope":      {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", false, 0, -3000},
		"nose raised for it":             {pitch, "nose", stage{1, 0, 0, 30, 0.5, 4}, attitude.SightOpposite, "", true, 0, 3000},
		"nose raised":                    {other(pitch), "nose", stage{1, 0, 0, 30, 0.5, 4}, attitude.SightAsked, "", true, 0, 3000},
		"phone the wrong way round":      {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightOpposite, "", true, 180, 3000},
		"which the sheet says":           {pitch, "tail", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, 180, -3000},
		"phone across":                   {pitch, "nose", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightOther, "", true, 90, 3000},
		"across, top left, as it says":   {pitch, "left", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, 90, -3000},
		"across, top right, as it says":  {pitch, "right", stage{1, 0, 0, -30, 0.5, 4}, attitude.SightAsked, "", true, -90, -3000},
		"left wing raised":               {roll, "nose", stage{0, 1, 0, 25, 0.5, 4}, attitude.SightAsked, "", true, 0, 2500},
		"left wing, top left":            {roll, "left", stage{0, 1, 0, 25, 0.5, 4}, attitude.SightAsked, "", true, 90, 2500},
		"right wing raised for it":       {roll, "nose", stage{0, 1, 0, -25, 0.5, 4}, attitude.SightOpposite, "", true, 0, -2500},
		"tail raised for the wing":       {roll, "nose", stage{1, 0, 0, -25, 0.5, 4}, attitude.SightOther, "", true, 0, -2500},
		"nose to the left":               {yaw, "nose", stage{0, 0, 1, 30, 0.3, 4}, attitude.SightAsked, "", true, 0, -3000},
		"nose to the right":              {other(yaw), "nose", stage{0, 0, 1, -30, 0.3, 4}, attitude.SightAsked, "", true, 0, 3000},
		"yaw without a gyroscope":        {yaw, "nose", stage{0, 0, 1, 30, 0.3, 4}, attitude.SightUnknown, "", false, 0, 0},
		"nobody":                         {pitch, "nose", stage{1, 0, 0, 0, 0.5, 4}, attitude.SightNobody, "too-small", true, 0, 0},
		"too little":                     {pitch, "nose", stage{1, 0, 0, -7, 0.5, 4}, attitude.SightDoubtful, "too-small", true, 0, -700},
		"two axes at once":               {pitch, "nose", stage{1, 1, 0, -30, 0.5, 4}, attitude.SightDoubtful, "two-axes", true, 0, 0},
		"turned about the vertical, too": {pitch, "nose", stage{1, 0, 1, -30, 0.5, 4}, attitude.SightDoubtful, "two-axes", true, 0, 0},
		"a slap":                         {pitch, "nose", stage{1, 0, 0, -60, 0.1, 4}, attitude.SightDoubtful, "too-fast", true, 0, -6000},
		"never held still":               {pitch, "nose", stage{1, 0, 0, -80, 6, 0}, attitude.SightMoving, "", true, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			for seed := range uint64(5) {
				k := play(tilt.About(0, 0, 1, x.askew), x.gyro, 0.15, seed, still(3), x.tilt)
				turn, sight := k.See(x.ask, 3*second, unit.Time(7.5*float64(second)), x.top)
				assert.Equal(t, x.sight, sight, "%+v", turn)
				assert.Equal(t, x.why, turn.Why)
				assert.InDelta(t, x.signed, turn.Signed(), 40)
				if sight == attitude.SightAsked {
					far := max(turn.AngleCdeg, turn.YawCdeg, -turn.YawCdeg)
					assert.InDelta(t, math.Abs(x.tilt.degrees)*100, far, 30, "the whole turn, however askew the phone lies")
					assert.LessOrEqual(t, math.Abs(math.Abs(x.tilt.degrees)*100-float64(far)), float64(turn.DoubtCdeg))
				}
			}
		})
	}
}

// Axes and signs are those of ISO 1151-1 (from memory): x forward, y to the right, z down; azimuth, inclination and bank turn
// the model about z, then y, then x, each right-handed. A general library of quaternions makes an attitude of them; the
// phone on the model has its x to the right, its y forward and its z up, over an earth whose z is up.
func TestAxesOfISO1151(t *testing.T) {
	half := func(degrees float64) (s, c float64) { return math.Sincos(degrees * math.Pi / 360) }
	about := func(azimuth, inclination, bank float64) quat.Number {
		sz, cz := half(azimuth)
		sy, cy := half(inclination)
		sx, cx := half(bank)
		return quat.Mul(quat.Mul(quat.Number{Real: cz, Kmag: sz}, quat.Number{Real: cy, Jmag: sy}), quat.Number{Real: cx, Imag: sx})
	}
	vertical := func(q quat.Number) attitude.Vector {
		v := quat.Mul(quat.Mul(quat.Conj(q), quat.Number{Kmag: -1}), q) // up, in the axes of the model
		return attitude.Vector{int64(math.Round(1e6 * v.Jmag)), int64(math.Round(1e6 * v.Imag)), int64(math.Round(-1e6 * v.Kmag))}
	}
	level := attitude.Rest{Up: vertical(about(0, 0, 0))}
	for _, x := range []struct {
		azimuth, inclination, bank float64
		axis                       string
		signed                     int64
	}{
		{0, 20, 0, "pitch", 2000}, {130, 20, 0, "pitch", 2000}, {0, -20, 0, "pitch", -2000},
		{0, 0, 20, "roll", 2000}, {-70, 0, 20, "roll", 2000}, {0, 0, -20, "roll", -2000},
	} {
		turn := attitude.TurnOf(&level, &attitude.Rest{Up: vertical(about(x.azimuth, x.inclination, x.bank))}, attitude.TopNose)
		assert.Equal(t, x.axis, turn.Axis, "%+v", x)
		assert.InDelta(t, x.signed, turn.Signed(), 1, "inclination is the nose raised, bank the left wing")
	}
}

// There and back before it is held says that it was tilted, and shows nothing.
func TestLetGo(t *testing.T) {
	k := play(flat, true, 0.1, 1, still(3), stage{1, 0, 0, -30, 0.4, 0.2}, stage{1, 0, 0, 30, 0.4, 4})
	_, sight := k.See(attitude.Ask{Axis: "pitch"}, 3*second, 7*second, attitude.TopNose)
	assert.Equal(t, attitude.SightLetGo, sight)
}

// A hand may be ahead of the prompt by half a second, and tremble by a degree.
func TestAheadAndTrembling(t *testing.T) {
	k := play(flat, true, 0.5, 1, still(3), stage{1, 0, 0, -30, 0.4, 5})
	_, sight := k.See(attitude.Ask{Axis: "pitch"}, 3*second+second/2, 8*second, attitude.TopNose)
	assert.Equal(t, attitude.SightAsked, sight)
}

// Without a rest just before nobody knows from where it was tilted.
func TestNoRestBefore(t *testing.T) {
	k := play(flat, true, 0.1, 1, stage{1, 0, 0, 300, 12, 0}, stage{1, 0, 0, -30, 0.4, 4})
	_, sight := k.See(attitude.Ask{Axis: "pitch"}, 6*second, 11*second, attitude.TopNose)
	assert.Equal(t, attitude.SightMoving, sight)
}

// A gyroscope that rests and says half a degree a second turns nothing.
func TestDriftIsTakenOut(t *testing.T) {
	k := &attitude.Tracker{}
	for i := range 600 {
		s := attitude.Sample{At: unit.Time(i) * second / 60, Up: attitude.Vector{0, 0, 1_000_000}, Yaw: 50, Gyro: true}
		if i >= 240 && i < 270 { // half a second at 60 degrees a second
			s.Yaw += 6000
			s.Up = attitude.Vector{0, 100_000, 994_987} // and the nose goes up a little, and down
		}
		k.Add(s)
	}
	turn, sight := k.See(attitude.Ask{Axis: "yaw"}, 4*second, 9*second, attitude.TopNose)
	assert.Equal(t, attitude.SightAsked, sight)
	assert.InDelta(t, -3000, turn.YawCdeg, 30)
}

// A hole in the attitudes is told.
func TestAHole(t *testing.T) {
	k := &attitude.Tracker{}
	add := func(from, to int, up attitude.Vector) {
		for i := from; i < to; i++ {
			k.Add(attitude.Sample{At: unit.Time(i) * second / 60, Up: up, Gyro: true})
		}
	}
	add(0, 180, attitude.Vector{0, 0, 1_000_000})
	add(210, 400, attitude.Vector{0, -500_000, 866_025})
	turn, sight := k.See(attitude.Ask{Axis: "pitch"}, 3*second, 6*second, attitude.TopNose)
	assert.Equal(t, attitude.SightDoubtful, sight)
	assert.Equal(t, attitude.WhyHole, turn.Why)
}

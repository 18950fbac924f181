package world

import (
	"math"
	"math/rand/v2"
	"time"

	"benchproof.example/decode/tilt"
)

// PhonePlan is a phone that lies on the model.
type PhonePlan struct {
	Name   string
	Askew  int64 // by how much it lies turned on the model, its top edge to the left of the nose, millidegrees
	Rate   int64 // attitudes a second
	NoGyro bool
}

// The habits of a phone (assumptions): what its sensors are off by and stray, how often it sends,
// how long that takes, and how wrong its clock is.
const (
	phoneNoise = 0.1                           // degrees, standard deviation
	phoneBias  = 0.8                           // by which it stands askew on its case, degrees, at most
	phoneZero  = 0.008                         // of gravity, by which each axis of its sensor is off, at most
	phoneDrift = 0.3                           // of its gyroscope, degrees a second, at most
	phoneBatch = int64(250 * time.Millisecond) // from one post to the next
	phoneSoon  = int64(8 * time.Millisecond)
	phoneLate  = int64(90 * time.Millisecond)
	phoneOff   = int64(100_000) // of its clock, parts per billion
)

// phone says how the model lies that hands tilt. It is a tap of its own, which nothing plugs.
type phone struct {
	*outlet
	bench *Plan
	plan  *PhonePlan
	hands *tilter
	rng   *rand.Rand

	sender uint16
	number uint16
	off    int64 // of its clock, parts per billion
	began  int64 // what its clock shows at the start, ns
	bias   tilt.Quaternion
	zero   [3]float64 // of gravity, by which its sensor is off
	drift  [3]float64
	turned arc             // on its spot, to the left
	last   tilt.Quaternion // without noise
	next   int64
	posts  int64 // when the batch goes
	batch  []byte
	spoke  int64 // of itself
}

func newPhone(s *Plan, tap int, hands *tilter, streams streams) *phone {
	p := &phone{outlet: &outlet{tap: tap}, bench: s, plan: s.Phone, hands: hands, rng: streams.of("phone " + s.Phone.Name)}
	p.sender = uint16(1 + p.rng.Uint32N(0xFFFF))
	p.off = p.rng.Int64N(2*phoneOff+1) - phoneOff
	p.began = p.rng.Int64N(int64(time.Hour))
	p.bias = tilt.About(p.rng.NormFloat64(), p.rng.NormFloat64(), 0.1, float64(phoneBias*p.rng.Float64()))
	zeros := streams.of("phone zero " + s.Phone.Name)
	for i := range p.zero {
		p.zero[i] = float64(phoneZero * (float64(2*zeros.Float64()) - 1))
	}
	for i := range p.drift {
		p.drift[i] = float64(phoneDrift * (float64(2*p.rng.Float64()) - 1))
	}
	p.next = p.rng.Int64N(int64(time.Second))
	p.posts, p.spoke = p.next+phoneBatch, -int64(time.Minute)
	p.last = p.lies(0)
	return p
}

// lies is how the phone lies, without noise: the model is turned about the vertical, then its nose,
// then its wing is raised; and the phone lies on it.
func (p *phone) lies(now int64) tilt.Quaternion {
	poses := p.hands.poses(now)
	degrees := func(a Axis) float64 { return float64(poses[a].angle) / 1000 }
	model := tilt.About(0, 0, 1, degrees(Yaw)).Then(tilt.About(1, 0, 0, -degrees(Pitch))).Then(tilt.About(0, 1, 0, degrees(Roll)))
	askew := p.plan.Askew + p.turned.at(now).angle
	return model.Then(tilt.About(0, 0, 1, float64(askew)/1000)).Then(p.bias)
}

// felt is an attitude as a sensor has it that is off by the same in each attitude, which no turn of it takes away.
func (p *phone) felt(lies tilt.Quaternion) tilt.Quaternion {
	up := [3]float64{
		float64(2 * (float64(lies[1]*lies[3]) - float64(lies[0]*lies[2]))), float64(2 * (float64(lies[2]*lies[3]) + float64(lies[0]*lies[1]))),
		1 - float64(2*(float64(lies[1]*lies[1])+float64(lies[2]*lies[2]))),
	}
	felt := [3]float64{up[0] + p.zero[0], up[1] + p.zero[1], up[2] + p.zero[2]}
	x, y := float64(felt[1]*up[2])-float64(felt[2]*up[1]), float64(felt[2]*up[0])-float64(felt[0]*up[2])
	z := float64(felt[0]*up[1]) - float64(felt[1]*up[0])
	along := float64(felt[0]*up[0]) + float64(felt[1]*up[1]) + float64(felt[2]*up[2])
	across := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	if across == 0 {
		return lies
	}
	return lies.Then(tilt.About(x, y, z, float64(math.Atan2(across, along)*(180/math.Pi))))
}

func (p *phone) due() int64 { return within(p.bench, p.next) }

func (p *phone) act() {
	now := p.next
	step := int64(time.Second) / p.plan.Rate
	p.next += step
	lies := p.lies(now)
	turned := p.last.Inverse().Then(lies)
	p.last = lies
	shown := p.felt(lies).Then(tilt.About(p.rng.NormFloat64(), p.rng.NormFloat64(), p.rng.NormFloat64(), float64(phoneNoise*p.rng.NormFloat64())))
	a := tilt.Attitude{Sender: p.sender, Time: p.began + now + now/million*p.off/1000, Turn: shown.Counts(), Gyro: !p.plan.NoGyro}
	for i := range a.Rate {
		rate := float64(turned[i+1]*(360/math.Pi)*float64(p.plan.Rate)) + p.drift[i]
		a.Rate[i] = int32(math.Round(float64(100 * rate)))
	}
	if now-p.spoke >= int64(time.Second) {
		p.spoke = now
		p.batch = tilt.AppendStatus(p.batch, &tilt.Status{Sender: p.sender, Name: "phone"})
	}
	p.batch = tilt.AppendAttitude(p.batch, p.number, &a)
	p.number++
	if now >= p.posts {
		p.posts = now + phoneBatch
		p.put(Delivery{At: now + phoneSoon + p.rng.Int64N(phoneLate), Kind: Data, Data: p.batch})
		p.batch = nil
	}
}

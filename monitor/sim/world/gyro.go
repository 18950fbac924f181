package world

import (
	"math/rand/v2"
	"time"
)

// gyroMode is what the receiver's stabiliser does about the outputs.
type gyroMode int

const (
	gyroOff   gyroMode = iota
	gyroRate           // it answers how fast the model turns: a kick that returns
	gyroLevel          // it answers how far from level the model lies: that stays. Yaw as in rate
)

var gyroWords = []string{gyroOff: "off", gyroRate: "rate", gyroLevel: "level"}

// gyroPlan is the stabiliser behind the outputs.
type gyroPlan struct {
	cells        []gyroCell
	gain         gainPlan
	sticks       [axes]stickPlan
	oscillations [axes]oscillationPlan // a fault's
}

// gyroCell is a mode and the windows that must all hold for it.
type gyroCell struct {
	mode    gyroMode
	windows []window
}

// window is a range of one channel's widths, ns, without its end.
type window struct {
	number    int // 0..15
	low, high int64
}

// gainPlan is how strongly it answers: by a channel if there is one.
type gainPlan struct {
	number int     // 0..15, -1: none
	fixed  int64   // parts per million
	none   int64   // width of no gain, ns
	full   []int64 // widths of full gain, one or one to either side of none
}

// stickPlan is the stick of an axis.
type stickPlan struct {
	known  bool
	number int   // 0..15
	way    int64 // 1 or -1: to which side of neutral its end of endWords lies
}

// oscillationPlan is an axis that swings by itself.
type oscillationPlan struct{ amplitude, period int64 } // ns of stick width, ns

// What the stabiliser does at full gain, as stick movement (assumptions that
// give answers of the size seen on a bench).
const (
	perDegree   = int64(5) // ns for a millidegree off level
	perRate     = int64(2) // ns for a millidegree a second
	dampingPart = int64(4) // while levelling a rate counts for that part of it
	authority   = 400 * us // no answer is larger
	gyroLoop    = int64(2 * time.Millisecond)
	smooths     = int64(8)   // loops that the sensors are smoothed over
	rateNoise   = int64(500) // of a sensor, at most, millidegrees a second
	angleNoise  = int64(100) // millidegrees
)

// gyro is the stabiliser. It feels how the model lies, and answers as if sticks
// were moved.
type gyro struct {
	script *Script
	plan   *gyroPlan
	rx     *receiver
	hands  *tilter
	rng    *rand.Rand
	truths *truthLog
	next   int64
	mode   gyroMode
	felt   [axes]pose
	answer [axes]int64 // ns of stick width, towards the end of endWords
}

func newGyro(s *Script, rx *receiver, hands *tilter, streams streams, l *truthLog) *gyro {
	return &gyro{script: s, plan: &s.gyro, rx: rx, hands: hands, truths: l, rng: streams.of("gyro " + rx.plan.name)}
}

func (g *gyro) due() int64 { return within(g.script, g.next) }

func (g *gyro) act() {
	now := g.next
	g.next += gyroLoop
	g.feel(now)
	mode, gain := g.asked(now)
	if mode != g.mode {
		g.mode = mode
		g.truths.note(now, "gyro", g.rx.plan.name, gyroWords[mode])
	}
	for a := range axes {
		full := answerTo(mode, a, g.felt[a])
		answer := full*gain/million + g.oscillate(now, a, gain)
		g.answer[a] = min(max(answer, -authority), authority)
	}
}

// feel reads the sensors.
func (g *gyro) feel(now int64) {
	for a, lies := range g.hands.poses(now) {
		felt := &g.felt[a]
		felt.angle += (lies.angle + g.noise(angleNoise) - felt.angle) / smooths
		felt.rate += (lies.rate + g.noise(rateNoise) - felt.rate) / smooths
	}
}

func (g *gyro) noise(most int64) int64 { return g.rng.Int64N(2*most+1) - most }

// asked is the mode that the receiver's channels ask for, and the gain in parts
// per million.
func (g *gyro) asked(now int64) (gyroMode, int64) {
	if !g.rx.awake(now) {
		return gyroOff, 0
	}
	counts := g.rx.valuesUsed(now)
	for i := range g.plan.cells {
		if c := &g.plan.cells[i]; c.holds(g.script, &counts) {
			return c.mode, g.gain(&counts)
		}
	}
	return gyroOff, 0
}

func (c *gyroCell) holds(s *Script, counts *values) bool {
	for _, w := range c.windows {
		if width := s.widthOf(counts, w.number); width < w.low || width >= w.high {
			return false
		}
	}
	return true
}

// gain is none at one width of its channel and full at another, or at one to either
// side of it.
func (g *gyro) gain(counts *values) int64 {
	plan := &g.plan.gain
	if plan.number < 0 {
		return plan.fixed
	}
	off, most := g.script.widthOf(counts, plan.number)-plan.none, int64(0)
	for _, full := range plan.full {
		most = max(most, off*million/(full-plan.none))
	}
	return min(most, million)
}

// answerTo is the answer at full gain.
func answerTo(mode gyroMode, a axis, felt pose) int64 {
	switch {
	case mode == gyroOff:
		return 0
	case mode == gyroLevel && a != yaw:
		return felt.angle*perDegree + felt.rate*perRate/dampingPart
	}
	return felt.rate * perRate
}

// oscillate is what a gain that is too high does: it goes to and fro.
func (g *gyro) oscillate(now int64, a axis, gain int64) int64 {
	plan := &g.plan.oscillations[a]
	if plan.period == 0 || gain == 0 || g.mode == gyroOff {
		return 0
	}
	return plan.amplitude * sine(now%plan.period, plan.period) / million
}

// sine is that of a whole turn in a period, in parts per million and within two
// thousandths of it: the approximation of Bhaskara I (from memory). Integers keep
// it the same on every machine.
func sine(since, period int64) int64 {
	turn := since * 2 * million / period // half turns, in parts per million
	sign := int64(1)
	if turn >= million {
		turn, sign = turn-million, -1
	}
	bell := turn * (million - turn) / million
	return sign * 16 * bell * million / (5*million - 4*bell)
}

package world

import (
	"math/rand/v2"
	"slices"
	"time"
)

// GyroMode is what the receiver's stabiliser does about the outputs.
type GyroMode int

// The modes of the stabiliser.
const (
	GyroOff    GyroMode = iota
	GyroRate            // it answers how fast the model turns: a kick that returns
	GyroLevel           // it answers how far from level the model lies: that stays. Yaw as in rate
	GyroCourse          // it answers how far the model is from where it was when the mode was entered, and creeps
	GyroModes           // how many there are
)

func (m GyroMode) String() string {
	return []string{GyroOff: "off", GyroRate: "rate", GyroLevel: "level", GyroCourse: "course"}[m]
}

// GyroPlan is the stabiliser behind the outputs.
type GyroPlan struct {
	Cells        []GyroCell
	Gain         GainPlan
	Sticks       [Axes]StickPlan
	Oscillations [Axes]OscillationPlan // a fault's

	Level [Axes]int64 // where its level is, millidegrees from the attitude in which the model stands
	Dead  int64       // how far from there nothing is answered, to either side, millidegrees
	Creep int64       // what a held course adds, for each second and degree off it, ns of stick width
	Keeps int64       // how far beyond a mode's windows that mode is kept which is asked for, ns
}

// GyroCell is a mode and the windows that must all hold for it.
type GyroCell struct {
	Mode    GyroMode
	Windows []Window
}

// Window is a range of one channel's widths, ns, without its end.
type Window struct {
	Number    int // 0..15
	Low, High int64
}

// GainPlan is how strongly it answers: by a channel if there is one.
type GainPlan struct {
	Number int     // 0..15, -1: none
	Fixed  int64   // parts per million
	None   int64   // width of no gain, ns
	Full   []int64 // widths of full gain, one or one to either side of none
}

// StickPlan is the stick of an axis.
type StickPlan struct {
	Known  bool
	Number int   // 0..15
	Way    int64 // 1 or -1: to which side of neutral its end lies, see Axis.End
}

// OscillationPlan is an axis that swings by itself.
type OscillationPlan struct {
	Amplitude int64 // ns of stick width
	Period    int64 // ns
	Above     int64 // of full gain, at which it begins, parts per million
}

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
	bench *Plan
	plan  *GyroPlan
	rx    *receiver
	hands *tilter
	rng   *rand.Rand

	learner *learner

	truths *truthLog
	next   int64
	mode   GyroMode
	cell   int // that asks for it, from 1; 0: none
	felt   [Axes]pose
	answer [Axes]int64 // ns of stick width, towards the axis' end
	course [Axes]int64 // where the model was as the mode was entered, millidegrees
	crept  [Axes]int64 // since then, ns of stick width times nanoseconds
}

func newGyro(s *Plan, rx *receiver, hands *tilter, streams streams, l *truthLog) *gyro {
	return &gyro{bench: s, plan: &s.Gyro, rx: rx, hands: hands, truths: l, rng: streams.of("gyro " + rx.plan.Name)}
}

func (g *gyro) due() int64 { return within(g.bench, g.next) }

func (g *gyro) act() {
	now := g.next
	g.next += gyroLoop
	g.feel(now)
	mode, gain := g.asked(now)
	if mode != g.mode {
		g.mode = mode
		g.enter()
		g.truths.note(now, "gyro", g.rx.plan.Name, mode.String())
	}
	for a := range Axes {
		full := g.answerTo(mode, a)
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
func (g *gyro) asked(now int64) (GyroMode, int64) {
	if !g.rx.awake(now) || g.learner.silences() {
		g.cell = 0
		return GyroOff, 0
	}
	counts := g.rx.valuesUsed(now)
	if g.plan.Keeps == 0 || g.cell == 0 || !g.plan.Cells[g.cell-1].holds(g.bench, &counts, g.plan.Keeps) {
		g.cell = 1 + slices.IndexFunc(g.plan.Cells, func(c GyroCell) bool { return c.holds(g.bench, &counts, 0) })
	}
	if g.cell == 0 {
		return GyroOff, 0
	}
	return g.plan.Cells[g.cell-1].Mode, g.gain(&counts)
}

// holds reports that all windows hold, or the width is as near to them.
func (c *GyroCell) holds(s *Plan, counts *values, near int64) bool {
	for _, w := range c.Windows {
		if width := s.widthOf(counts, w.Number); width < w.Low-near || width >= w.High+near {
			return false
		}
	}
	return true
}

// gain is none at one width of its channel and full at another, or at one to either
// side of it.
func (g *gyro) gain(counts *values) int64 {
	plan := &g.plan.Gain
	if plan.Number < 0 {
		return plan.Fixed
	}
	off, most := g.bench.widthOf(counts, plan.Number)-plan.None, int64(0)
	for _, full := range plan.Full {
		most = max(most, off*million/(full-plan.None))
	}
	return min(most, million)
}

// enter begins to hold the course on which the model is.
func (g *gyro) enter() {
	for a := range Axes {
		g.course[a], g.crept[a] = g.felt[a].angle, 0
	}
}

// answerTo is the answer at full gain.
func (g *gyro) answerTo(mode GyroMode, a Axis) int64 {
	felt := g.felt[a]
	switch {
	case mode == GyroOff:
		return 0
	case mode == GyroCourse:
		off := felt.angle - g.course[a]
		g.crept[a] += off * g.plan.Creep / 1000 * gyroLoop
		return off*perDegree + felt.rate*perRate/dampingPart + g.crept[a]/billion
	case mode == GyroLevel && a != Yaw:
		return g.beyond(felt.angle-g.plan.Level[a])*perDegree + felt.rate*perRate/dampingPart
	}
	return felt.rate * perRate
}

// beyond is how far an angle lies outside the dead band.
func (g *gyro) beyond(angle int64) int64 {
	switch {
	case angle > g.plan.Dead:
		return angle - g.plan.Dead
	case angle < -g.plan.Dead:
		return angle + g.plan.Dead
	}
	return 0
}

// oscillate is what a gain that is too high does: it goes to and fro.
func (g *gyro) oscillate(now int64, a Axis, gain int64) int64 {
	plan := &g.plan.Oscillations[a]
	if plan.Period == 0 || gain <= plan.Above || g.mode == GyroOff {
		return 0
	}
	return plan.Amplitude * sine(now%plan.Period, plan.Period) / million
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

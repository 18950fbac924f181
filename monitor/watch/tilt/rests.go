package tilt

import (
	"benchproof.example/decode/tilt"
	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// leap is a rate of turn, degrees a second, that no hand gives a model.
	leap = 600
	// upright is the part of the vertical that a screen which looks up has at least: no model is tilted
	// by more than 75 degrees in a drill.
	upright = tilt.Vertical * 26 / 100
	// stepLeast is how long a step must be for the vertical alone to give a rate of turn.
	stepLeast = 5 * unit.Millisecond
)

// Rests finds where the model lies, or is held, still, and reports by how much it was turned
// from one rest to the next, once that has lasted for a second. It runs on wire time.
//
//	tilt    ________        __________
//	       |rest    \      /   rest
//	                 \____/          ^ tilt.held: the turn between the two
type Rests struct {
	Tap    uint8
	Leapt  bool // that was said, and it has not rested since
	Wire   unit.Time
	LastUp attitude.Vector
}

// See implements base.Watcher.
func (w *Rests) See(o *event.Observation, v *base.View, emit event.Emit) {
	if o.Tap != w.Tap || o.Kind != event.AttitudeSeen {
		return
	}
	p, up := v.Taps[w.Tap].Phone, attitude.Vector(o.Lies.Up())
	passed := o.Wire.Sub(w.Wire)
	s := attitude.Sample{At: o.Wire, Up: up, Gyro: o.Lies.Gyro}
	if s.Gyro {
		s.Yaw, s.Rate = rates(o.Lies, up)
	} else if passed >= stepLeast && p.Track.Heard {
		s.Rate = attitude.Between(w.LastUp, up) * int64(unit.Second/unit.Millisecond) / int64(passed/unit.Millisecond) / 100
	}
	if passed <= 0 && p.Track.Heard { // the clock was laid anew: it says the same time twice
		return
	}
	w.Wire, w.LastUp = o.Wire, up
	if s.Rate >= leap || up[2] < upright {
		w.leap(o, v, emit)
	}
	if p.Track.Add(s) {
		w.held(p, v, emit)
	}
}

// rates are those about the vertical, hundredths of a degree a second, and about any axis, degrees a second.
func rates(a *event.Attitude, up attitude.Vector) (yaw, most int64) {
	for i, r := range a.Rate {
		yaw += int64(r) * up[i]
		most = max(most, int64(r), -int64(r))
	}
	return yaw / tilt.Vertical, most / 100
}

// leap takes that the phone did what no hand does with a model.
func (w *Rests) leap(o *event.Observation, v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	p.Track.Way.Leapt = true
	p.Laid = false
	if !w.Leapt {
		w.Leapt = true
		emit(event.TiltTrouble, o.Wire, v.Taps[w.Tap].About(), event.TiltTroubleData{Why: event.TiltJumped})
	}
}

// held reports the turn to the rest that has lasted for a second.
func (w *Rests) held(p *base.Phone, v *base.View, emit event.Emit) {
	w.Leapt = w.Leapt && w.LastUp[2] < upright
	n := len(p.Track.Rests)
	if n < 2 {
		return
	}
	before, now := &p.Track.Rests[n-2], &p.Track.Rests[n-1]
	turn := attitude.TurnOf(before, now, p.Top)
	if turn.Why == attitude.WhySmall && turn.MostCdeg < 2*turn.DoubtCdeg { // it was never away
		return
	}
	emit(event.TiltHeld, now.FromNS, v.Taps[w.Tap].About(), event.TiltHeldData{Turn: turn, JitterNS: p.Jitter})
}

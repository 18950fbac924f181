package watch

import (
	"slices"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/swing"
)

const (
	swingRest  = 2 * fact.Second                       // nothing commands the outputs for so long before it is looked
	swingHop   = 60                                    // samples after which it is looked again: a quarter of what is seen
	swingEvery = swingHop * fact.Time(swing.Step)      // that as time
	swingSpan  = swing.Samples * fact.Time(swing.Step) // what is seen
	swingLooks = 1 + swing.Samples/swingHop            // that show it one after the other: twice as long as what is seen
	swingCalm  = swingLooks                            // that don't, before it is over: a step hides a swing for as long as it is in sight
	swingLeast = 5_000                                 // ns to either side that are told
	swingGone  = 3_000                                 // and that it must fall below to be over
	swingApart = int64(60 * fact.Millisecond)          // between two pulses: more is a hole, which no line bridges
)

// OutputUnsteady looks for an output that swings slowly, 0.5 to 10 times a second,
// while nothing commands it: too much gain, or something loose. It looks at six seconds
// at a time, each 1.5 s, and tells what shows alike for twelve. What comes once, such as
// a step, a model tilted by hand or a stick, makes no such trace; nor does noise.
//
//	aileron  /\_________________________________
//	output 1 /\__/\/\/\/\/\/\/\/\/\/\/\/\_______
//	             ^ onset         ^ unsteady   ^ calm
//
// A quiet bench, without air that flows, does not show that it never will.
type OutputUnsteady struct {
	Tap     uint8
	Rest    leadRest
	Outputs []leadSwing // by number
}

type leadSwing struct {
	Output int
	Epoch  int
	Rise   int64 // of the latest pulse, board clock, ns
	Grid   swing.Grid
	Seen   swing.Swing // when it was looked last
	Looks  int         // in a row that showed one
	Calm   int         // in a row that did not

	Told  bool
	Onset fact.Time
	Last  fact.Time               // when one was seen
	As    fact.OutputUnsteadyData // what was
}

// See implements Watcher.
func (u *OutputUnsteady) See(o *fact.Observation, v *View, emit fact.Emit) {
	u.Rest.see(o, v)
	switch {
	case over(o, u.Tap):
		for i := range u.Outputs {
			u.Outputs[i].Told = false
		}
	case o.Tap == u.Tap && o.Kind == fact.PulseSeen:
		u.of(o.Pulse.Output).pulse(o, &u.Rest, emit)
	}
}

func (u *OutputUnsteady) of(output int) *leadSwing {
	i, ok := slices.BinarySearchFunc(u.Outputs, output, func(l leadSwing, n int) int { return l.Output - n })
	if !ok {
		u.Outputs = slices.Insert(u.Outputs, i, leadSwing{Output: output})
	}
	return &u.Outputs[i]
}

// forget breaks off: what comes next does not follow what came before.
func (l *leadSwing) forget() {
	l.Grid.Reset()
	l.Looks, l.Calm = 0, 0
}

func (l *leadSwing) pulse(o *fact.Observation, rest *leadRest, emit fact.Emit) {
	p := o.Pulse
	if p.Epoch != l.Epoch || p.Rise-l.Rise > swingApart {
		l.forget()
	}
	l.Epoch, l.Rise = p.Epoch, p.Rise
	if rest.lasts(o) < swingRest {
		l.forget()
		return
	}
	l.Grid.Pulse(p.Rise, p.Width)
	if l.Grid.Full() {
		l.look(o, rest, emit)
		l.Grid.Drop(swingHop)
	}
}

func (l *leadSwing) look(o *fact.Observation, rest *leadRest, emit fact.Emit) {
	least := int64(swingLeast)
	if l.Told {
		least = swingGone
	}
	s, ok := swing.Find(&l.Grid.Widths, l.Grid.Period)
	if !ok || s.Amplitude < least {
		l.Looks = 0
		if l.Calm++; l.Told && l.Calm == swingCalm {
			l.calm(emit)
		}
		return
	}
	if l.Looks > 0 && !alike(l.Seen, s) {
		l.Looks = 0
	}
	l.Looks++
	l.Seen, l.Last, l.Calm = s, o.Wire, 0
	if l.Told || l.Looks < swingLooks {
		return
	}
	l.Told, l.Onset = true, o.Wire-swingSpan-(swingLooks-1)*swingEvery
	l.As = fact.OutputUnsteadyData{MilliHz: s.MilliHz, AmplitudeNS: s.Amplitude, ForNS: o.Wire - l.Onset, Mode: rest.Mode}
	emit(fact.OutputUnsteady, l.Onset, outputAbout(l.Output), l.As)
}

// calm dates the end of a swing in the middle of what showed it last.
func (l *leadSwing) calm(emit fact.Emit) {
	l.Told = false
	end := l.Last - swingSpan/2
	l.As.ForNS = end - l.Onset
	emit(fact.OutputCalm, end, outputAbout(l.Output), l.As)
}

// alike reports whether two looks saw the same swing.
func alike(a, b swing.Swing) bool {
	return abs(a.MilliHz-b.MilliHz) <= max(250, a.MilliHz/7) && a.Amplitude <= 2*b.Amplitude && b.Amplitude <= 2*a.Amplitude
}

// Due implements Watcher.
func (u *OutputUnsteady) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (u *OutputUnsteady) Expire(fact.Time, *View, fact.Emit) {}

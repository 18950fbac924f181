package leads

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	jitterRest  = 4 * unit.Second // nothing commands the outputs for this long
	jitterCount = 100             // widths that are compared
	jitterLeft  = 5               // of those at either end that are left out
	jitterEvery = unit.Minute     // how often it is reported while nothing changes
)

// OutputJitter measures how still an output stands while nothing commands it: how far
// a hundred widths lie apart, the five widest and the five narrowest left out, and a
// drift over them (a straight line by least squares) taken off. It reports that once a
// minute at most, and anew in another mode.
//
//	aileron  /\/\______________________
//	output 1 /\/\__....-.--..-.._.-..__
//	             | 4 s | 100 pulses ^ output.jitter
type OutputJitter struct {
	Tap     uint8
	Rest    outputRest
	Outputs event.ByOutput[jitterState]
}

type jitterState struct {
	Output   int
	Epoch    int
	Rise     unit.Duration // of the latest pulse, board clock, ns
	Widths   []unit.Width  // in a row
	From     unit.Time     // of the first of those
	Reported unit.Time     // date, 0: not yet
	Mode     string        // then
}

// See implements Watcher.
func (j *OutputJitter) See(o *event.Observation, v *base.View, emit event.Emit) {
	j.Rest.see(o, v, byDrill)
	if o.Tap == j.Tap && o.Kind == event.PulseSeen {
		j.of(o.Pulse.Output).pulse(o, &j.Rest, emit)
	}
}

func (j *OutputJitter) of(output int) *jitterState {
	if l := j.Outputs.Of(output); l != nil {
		return l
	}
	return j.Outputs.Add(output, jitterState{Output: output, Widths: make([]unit.Width, 0, jitterCount)})
}

func (l *jitterState) pulse(o *event.Observation, rest *outputRest, emit event.Emit) {
	p := o.Pulse
	if rest.lasts(o) < jitterRest || p.Epoch != l.Epoch || p.Rise-l.Rise > base.MaxFrameStep {
		l.Widths = l.Widths[:0]
	}
	l.Epoch, l.Rise = p.Epoch, p.Rise
	if rest.lasts(o) < jitterRest || l.Reported != 0 && l.Mode == rest.Mode && o.At.Sub(l.Reported) < jitterEvery {
		return
	}
	if len(l.Widths) == 0 {
		l.From = o.Wire
	}
	l.Widths = append(l.Widths, p.Width)
	if len(l.Widths) < jitterCount {
		return
	}
	l.Reported, l.Mode = o.At, rest.Mode
	emit(event.OutputJitter, l.From, outputAbout(l.Output),
		event.OutputJitterData{SpreadNS: spread(l.Widths), Pulses: jitterCount, ForNS: o.Wire.Sub(l.From), Mode: rest.Mode})
	l.Widths = l.Widths[:0]
}

// spread is how far widths lie apart, without drift and without the outermost. It
// reorders them.
func spread(widths []unit.Width) unit.Width {
	n := int64(len(widths))
	var sum, moment int64
	for i, w := range widths {
		sum += int64(w)
		moment += int64(w) * (2*int64(i) - n + 1)
	}
	for i := range widths {
		t := 2*int64(i) - n + 1
		widths[i] -= unit.Width(sum/n + t*moment/(n*(n*n-1)/3))
	}
	slices.Sort(widths)
	return widths[n-1-jitterLeft] - widths[jitterLeft]
}

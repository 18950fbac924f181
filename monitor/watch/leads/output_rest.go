package leads

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// restWithin is how far a channel may stray at rest, quanta from end to end: one to
// either side of where it stands.
const restWithin = 2

// outputRest reports for how long nothing has commanded the outputs: every channel of the
// sheet stands, the transmitter is heard, one mode is asked for, and no drill tilts the
// model. It reads the bus that belongs to the leads; without one nobody knows, nor where
// the bus carries stabilised values, which never stand while the stabiliser works.
type outputRest struct {
	Begun bool
	Mode  string     // asked for
	Least bus.Counts // since each channel moved last
	Most  bus.Counts
	Since unit.Time  // all stand, wire time
	Heard unit.Time  // date of the latest frame
	Gain  unit.Width // where the gain channel stands, 0 where there is none

	listed []int // the sheet's channels, from 0
}

// see takes an observation of any tap. moved says of a frame whether something else than sticks
// may move the outputs.
func (r *outputRest) see(o *event.Observation, v *base.View, moved func(*base.View) bool) {
	bus := v.FirstBus()
	switch {
	case bus == 0:
	case base.Judgeable(o, bus):
		r.frame(o, &v.Taps[bus], v, moved)
	case base.TapClosed(o, bus):
		r.Begun = false
	}
}

// byDrill reports that the drill under way has somebody move the model, and so its outputs.
func byDrill(v *base.View) bool { return v.Plan().MovesOutputs() }

func (r *outputRest) frame(o *event.Observation, bus *base.Tap, v *base.View, moved func(*base.View) bool) {
	signal := base.SignalOf(o.Frame)
	if signal == event.SignalMissed {
		return // the outputs hold meanwhile, as the bus does
	}
	if r.listed == nil {
		r.listed = listed(v.Sheet)
	}
	if signal != event.SignalLive || bus.Suspect || bus.Loss != "" || !settled(bus, v) || moved(v) {
		r.Begun = false
		return
	}
	r.channels(o, bus, v)
}

// settled reports that it is known which mode is asked for.
func settled(bus *base.Tap, v *base.View) bool { return bus.ModeKnown || len(v.ModeChannels) == 0 }

func (r *outputRest) channels(o *event.Observation, bus *base.Tap, v *base.View) {
	if !r.Begun || o.At.Sub(r.Heard) > base.MaxFrameStep || r.Mode != bus.Mode {
		r.Begun, r.Mode, r.Since = true, bus.Mode, o.Wire
		r.Least, r.Most = o.Frame.Counts, o.Frame.Counts
	}
	r.Heard = o.At
	if g := v.Sheet.Gain; g != nil && g.Channel != 0 {
		r.Gain = v.Sheet.Width(o.Frame.Counts[g.Channel-1])
	}
	for _, ch := range r.listed {
		count := o.Frame.Counts[ch]
		least, most := min(r.Least[ch], count), max(r.Most[ch], count)
		if most-least > restWithin*v.Quantum {
			least, most, r.Since = count, count, o.Wire
		}
		r.Least[ch], r.Most[ch] = least, most
	}
}

// lasts is for how long nothing has commanded the outputs when a pulse comes.
func (r *outputRest) lasts(o *event.Observation) unit.Duration {
	if !r.Begun || o.At.Sub(r.Heard) > base.MaxFrameStep {
		return 0
	}
	return o.Wire.Sub(r.Since)
}

// listed are the channels of a sheet, from 0. A heartbeat, which commands nothing, is
// none of them.
func listed(s *sheet.Sheet) []int {
	list := []int{}
	for i := range s.Channels {
		if n := s.Channels[i].Number; !s.Digital(n) {
			list = append(list, n-1)
		}
	}
	return list
}

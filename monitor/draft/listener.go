package draft

import (
	"encoding/json"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// hearer is told what a bus and its leads show.
type hearer interface {
	Frame(at unit.Time, f *bus.Frame)
	Pulse(output int, rise unit.Time, width unit.Width)
}

// Listener makes frames and pulses of the inputs of a session, live or recorded, for a Conversation or a FreePlay. It
// hears one bus, the first.
type Listener struct {
	protocol *bus.Protocol
	to       hearer
	taps     []event.TapName
	bus      uint8 // the tap that is heard as the bus, 0: none yet
	frames   *engine.Bus
	boards   map[uint8]*engine.Leads
}

// NewListener makes one for taps, which a recording names itself.
func NewListener(p *bus.Protocol, taps []event.TapName, to hearer) *Listener {
	l := &Listener{protocol: p, to: to}
	l.begin(taps)
	return l
}

func (l *Listener) begin(taps []event.TapName) {
	l.taps, l.bus, l.frames, l.boards = taps, 0, engine.NewBus(l.protocol), map[uint8]*engine.Leads{}
	for i, t := range taps {
		switch tap := uint8(i + 1); {
		case t.Kind == "pulses":
			l.boards[tap] = &engine.Leads{}
		case l.bus == 0:
			l.bus = tap
		}
	}
}

// Step takes an input.
func (l *Listener) Step(in *event.Input) {
	switch {
	case in.Kind == event.InputBegin || in.Kind == event.InputResume:
		var s event.Start
		if json.Unmarshal(in.Data, &s) == nil {
			l.begin(s.Taps)
		}
	case in.Tap == event.BenchTap:
	case in.Tap == l.bus:
		l.frames.Step(in, l.see)
	case l.boards[in.Tap] != nil:
		l.boards[in.Tap].Step(in, l.see)
	}
}

func (l *Listener) see(o *event.Observation) {
	switch o.Kind {
	case event.FrameSeen:
		l.to.Frame(o.Wire, o.Frame)
	case event.PulseSeen:
		l.to.Pulse(o.Pulse.Output, o.Wire.Add(-o.Pulse.Width.Duration()), o.Pulse.Width)
	}
}

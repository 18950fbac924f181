package recording

import "benchproof.example/monitor/event"

// ports are what each tap reads, by its number less one; empty where nothing is read.
type ports []event.Port

func newPorts(s *Section) ports {
	p := make(ports, len(s.Taps))
	copy(p, s.Ports)
	return p
}

// see takes what came up, and what went.
func (p ports) see(in *event.Input) {
	if in.Tap == event.BenchTap || int(in.Tap) > len(p) {
		return
	}
	if in.Kind == event.InputTapUp || in.Kind == event.InputTapDown {
		p[in.Tap-1] = portOf(in)
	}
}

package world

// intake is the way from a wire to the computer: an adapter with its plug.
type intake struct {
	name    string
	truths  *truthLog
	socket  *socket
	outlet  *outlet
	adapter adapter
}

// socket stands between the wire and the adapter; it may be empty.
type socket struct {
	to charReceiver
	in bool
}

func (s *socket) receive(c char) {
	if s.in {
		s.to.receive(c)
	}
}

func newIntake(tap int, name string, l *truthLog, kind adapterKind, streams streams) *intake {
	in := &intake{name: name, truths: l, outlet: &outlet{tap: tap}}
	in.adapter = kind.adapter(in.outlet, streams.of("adapter "+name))
	in.socket = &socket{to: in.adapter, in: true}
	return in
}

// plug puts the adapter's plug in or pulls it. What had not been handed over
// is gone.
func (in *intake) plug(now int64, on bool) {
	if on == in.socket.in {
		return
	}
	in.socket.in = on
	in.adapter.lose()
	in.outlet.lose(now)
	kind := Unplugged
	if on {
		kind = Plugged
	}
	in.outlet.put(Delivery{At: now, Kind: kind})
	in.truths.note(now, "cable", in.name, kind.String())
}

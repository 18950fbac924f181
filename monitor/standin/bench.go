package standin

// bench is one receiver with all that leads to and from it.
type bench struct {
	name    string
	ledger  *ledger
	link    *link
	wire    *wire
	rx      *receiver
	socket  *socket
	outlet  *outlet
	adapter adapter
}

// socket stands between the wire and the adapter; it may be empty.
type socket struct {
	to listener
	in bool
}

func (s *socket) hear(c char) {
	if s.in {
		s.to.hear(c)
	}
}

func newBench(s *Script, tap int, streams streams, l *ledger) *bench {
	plan := &s.taps[tap]
	b := &bench{name: plan.name, ledger: l, outlet: &outlet{tap: tap}}
	b.adapter = newAdapter(plan, streams, b.outlet)
	b.socket = &socket{to: b.adapter, in: true}
	b.wire = &wire{plan: plan, rng: streams.of("wire " + plan.name), ledger: l, to: b.socket}
	b.rx = newReceiver(s, plan, streams, l, b.wire)
	b.link = newLink(plan, streams.of("link "+plan.name), l, b.rx)
	return b
}

func newAdapter(plan *tapPlan, streams streams, out *outlet) adapter {
	rng := streams.of("adapter " + plan.name)
	if plan.clump > 0 {
		return &clumping{out: out, span: plan.clump, tick: rng.Int64N(plan.clump)}
	}
	return &prompt{out: out, rng: rng, last: longAgo}
}

// plug puts the adapter's plug in or pulls it. What had not been handed over
// is gone.
func (b *bench) plug(now int64, in bool) {
	if in == b.socket.in {
		return
	}
	b.socket.in = in
	b.adapter.lose()
	b.outlet.lose(now)
	kind := Unplugged
	if in {
		kind = Plugged
	}
	b.outlet.put(Delivery{At: now, Kind: kind})
	b.ledger.note(now, "cable", b.name, kind.String())
}

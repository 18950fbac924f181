package standin

// bench is one receiver with all that leads to and from it.
type bench struct {
	*intake
	link *link
	wire *wire
	rx   *receiver
}

func newBench(s *Script, tap int, streams streams, l *ledger) *bench {
	plan := &s.taps[tap]
	b := &bench{intake: newIntake(tap, plan.name, l, busAdapter(plan.clump), streams)}
	b.wire = &wire{plan: plan, rng: streams.of("wire " + plan.name), ledger: l, to: b.socket}
	b.rx = newReceiver(s, plan, streams, l, b.wire)
	b.link = newLink(plan, streams.of("link "+plan.name), l, b.rx)
	return b
}

package world

// installation is one receiver with all that leads to and from it.
type installation struct {
	*intake
	link *link
	wire *wire
	rx   *receiver
}

func newInstallation(s *Script, tap int, streams streams, l *truthLog) *installation {
	plan := &s.taps[tap]
	b := &installation{intake: newIntake(tap, plan.name, l, busAdapter(plan.clump), streams)}
	b.wire = &wire{plan: plan, rng: streams.of("wire " + plan.name), truths: l, to: b.socket}
	b.rx = newReceiver(s, plan, streams, l, b.wire)
	b.link = newLink(plan, streams.of("link "+plan.name), l, b.rx)
	return b
}

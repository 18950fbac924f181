package world

// installation is one receiver with all that leads to and from it.
type installation struct {
	*intake
	link *link
	wire *wire
	rx   *receiver
}

func newInstallation(s *Plan, tap int, streams streams, l *truthLog) *installation {
	plan := &s.Receivers[tap]
	b := &installation{intake: newIntake(tap, plan.Name, l, busAdapter(plan.Clump), streams)}
	b.wire = &wire{plan: plan, rng: streams.of("wire " + plan.Name), truths: l, to: b.socket}
	b.rx = newReceiver(s, plan, streams, l, b.wire)
	b.link = newLink(plan, streams.of("link "+plan.Name), l, b.rx)
	return b
}

package world

// fault is what a wrongly set-up transmitter does to its channels, between the
// hands and the link. The hands do what the steps say all the same. bend is
// called for every packet, in order of time.
type fault interface {
	bend(now int64, s *sent)
}

// newFault makes a fault without a past: several plays share one script.
type newFault func() fault

// always makes a newFault of a fault that remembers nothing.
func always(f fault) newFault { return func() fault { return f } }

// sent is what is about to be sent, as the faults above left it.
type sent struct {
	widths []int64 // ns, like script.channels
	levers map[int]*lever
}

// standing is a switch at one of its places.
type standing struct {
	channel int
	place   string
}

// stands says whether the hand has the switch there, wherever that lands.
func (s *sent) stands(x standing) bool {
	l := s.levers[x.channel]
	return l.plan.places[l.place].name == x.place
}

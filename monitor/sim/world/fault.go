package world

// Fault is one setting of a transmitter that is wrong. The hands do what the steps say
// all the same.
type Fault interface {
	// begin makes what bends the channels of one play.
	begin(p *Plan) bender
}

// bender is what a wrong setting does to the channels, between the hands and the
// link. bend is called for every packet, in order of time.
type bender interface {
	bend(now int64, s *sent)
}

// sent is what is about to be sent, as the faults above left it.
type sent struct {
	widths []int64 // ns, like Plan.channels
	levers map[int]*lever
}

// Standing is a switch at one of its places.
type Standing struct {
	Channel int
	Place   string
}

// stands says whether the hand has the switch there, wherever that lands.
func (s *sent) stands(x Standing) bool {
	l := s.levers[x.Channel]
	return l.plan.Places[l.place].Name == x.Place
}

package world

// SetLever moves a switch.
type SetLever struct{ Channel, Place int }

func (a SetLever) run(now int64, s *Sim) { s.transmitter.levers[a.Channel].set(now, a.Place) }

// PressLever pushes a two-place switch over and lets it go.
type PressLever struct {
	Channel int
	Lasts   int64
}

func (a PressLever) run(now int64, s *Sim) { s.transmitter.levers[a.Channel].press(now, a.Lasts) }

// MoveStick moves a stick or a knob.
type MoveStick struct {
	Channel  int
	To, Over int64
}

func (a MoveStick) run(now int64, s *Sim) { s.transmitter.hands[a.Channel].move(now, a.To, a.Over) }

// ReleaseSticks lets go of sticks.
type ReleaseSticks struct{ Channels []int }

func (a ReleaseSticks) run(now int64, s *Sim) {
	for _, c := range a.Channels {
		s.transmitter.hands[c].release(now)
	}
}

// StirSticks stirs sticks and lets them go back to where they were.
type StirSticks struct {
	Channels []int
	Lasts    int64
}

func (a StirSticks) run(now int64, s *Sim) {
	for _, c := range a.Channels {
		s.transmitter.hands[c].wiggle(now, a.Lasts)
	}
}

// PauseSticks has hands that stir stop for a while.
type PauseSticks struct {
	Channels []int
	Lasts    int64
}

func (a PauseSticks) run(now int64, s *Sim) {
	for _, c := range a.Channels {
		s.transmitter.hands[c].pause(now, a.Lasts)
	}
}

// SlamSticks throws sticks at widths, like channels.
type SlamSticks struct {
	Channels []int
	To       []int64
	Over     int64
	Lasts    int64 // how long they are held there, 0: for ever
}

func (a SlamSticks) run(now int64, s *Sim) {
	for i, c := range a.Channels {
		s.transmitter.hands[c].slam(now, a.To[i], a.Over, a.Lasts)
	}
}

// CircleSticks has one stick, or two, go round: two channels each.
type CircleSticks struct {
	Channels     []int
	Every, Lasts int64
}

func (a CircleSticks) run(now int64, s *Sim) {
	for i, c := range a.Channels {
		lead := int64(0)
		if i%2 == 1 { // the other axis of the stick
			lead = a.Every / 4
		}
		h := s.transmitter.hands[c]
		reach := circlesFrom + h.rng.Int64N(circlesTo-circlesFrom)
		h.circle(now, orbit{every: a.Every, lead: lead, reach: reach, lasts: a.Lasts})
	}
}

// SetCut moves the switch of the throttle cut.
type SetCut struct{ On bool }

func (a SetCut) run(now int64, s *Sim) { s.transmitter.setCut(now, a.On) }

// SetRate sets how much of the travel of channels is sent.
type SetRate struct {
	Channels []int
	Share    int64 // parts per million
}

func (a SetRate) run(now int64, s *Sim) {
	for _, c := range a.Channels {
		s.transmitter.rate(now, c, a.Share)
	}
}

// SetTrim moves the trim of a channel.
type SetTrim struct {
	Channel int
	By      int64 // ns
}

func (a SetTrim) run(now int64, s *Sim) { s.transmitter.trim(now, a.Channel, a.By) }

// TiltModel tilts the model.
type TiltModel struct {
	About    Axis
	To, Over int64 // millidegrees, ns
}

func (a TiltModel) run(now int64, s *Sim) { s.leads.hands.tilt(now, a.About, a.To, a.Over) }

// TurnPhone turns a phone on its spot, to the left of where it lay at first.
type TurnPhone struct{ To, Over int64 } // millidegrees, ns

func (a TurnPhone) run(now int64, s *Sim) {
	if s.phone != nil {
		s.phone.turned = arc{from: s.phone.turned.at(now).angle, to: a.To, began: now, takes: a.Over}
	}
}

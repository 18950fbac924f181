package world

// SwitchTransmitter switches the transmitter.
type SwitchTransmitter struct{ On bool }

func (a SwitchTransmitter) run(now int64, s *Sim) { s.transmitter.power(now, a.On) }

// LetSignal keeps the signal from one receiver, or lets it through again.
type LetSignal struct {
	Receiver int
	On       bool
}

func (a LetSignal) run(now int64, s *Sim) { s.installations[a.Receiver].link.let(now, a.On) }

// SwitchReceiver gives a receiver power, or takes it.
type SwitchReceiver struct {
	Receiver int
	On       bool
}

func (a SwitchReceiver) run(now int64, s *Sim) { s.installations[a.Receiver].rx.power(now, a.On) }

// HiccupReceiver has a receiver take up its presets for a while, without a flag.
type HiccupReceiver struct {
	Receiver int
	Lasts    int64
}

func (a HiccupReceiver) run(now int64, s *Sim) { s.installations[a.Receiver].rx.hiccup(now, a.Lasts) }

// MuteReceiver has a receiver send no frames for a while.
type MuteReceiver struct {
	Receiver int
	Lasts    int64
}

func (a MuteReceiver) run(now int64, s *Sim) { s.installations[a.Receiver].rx.mute(now, a.Lasts) }

// GarbleFrames makes the next frames of a receiver wrong.
type GarbleFrames struct {
	Receiver int
	Plan     GarblePlan
}

func (a GarbleFrames) run(_ int64, s *Sim) {
	s.installations[a.Receiver].rx.garble = garble{bench: &s.plan, plan: &a.Plan, left: a.Plan.Frames}
}

// StallComputer has the computer not read for a while.
type StallComputer struct{ Lasts int64 }

func (a StallComputer) run(now int64, s *Sim) {
	for _, in := range s.intakes {
		in.outlet.stall(now + a.Lasts)
	}
	s.truths.note(now, "stall", computerName, "began")
	s.truths.note(now+a.Lasts, "stall", computerName, "ended")
}

// MovePlug pulls or puts in the adapter's plug.
type MovePlug struct {
	Tap int
	In  bool
}

func (a MovePlug) run(now int64, s *Sim) {
	if a.Tap < len(s.installations) {
		s.installations[a.Tap].plug(now, a.In)
		return
	}
	s.leads.board.plug(now, a.In)
}

// RestartBoard has the capture board begin anew.
type RestartBoard struct{}

func (RestartBoard) run(now int64, s *Sim) { s.leads.board.restart(now) }

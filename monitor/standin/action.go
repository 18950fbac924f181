package standin

// action is what a step does to the bench.
type action interface {
	run(now int64, s *Sim)
}

// power switches the transmitter.
type power struct{ on bool }

func (a power) run(now int64, s *Sim) { s.transmitter.power(now, a.on) }

// hush keeps the signal from one receiver, or lets it through again.
type hush struct {
	tap int
	on  bool
}

func (a hush) run(now int64, s *Sim) { s.benches[a.tap].link.let(now, a.on) }

// setLever moves a switch.
type setLever struct{ channel, place int }

func (a setLever) run(now int64, s *Sim) { s.transmitter.levers[a.channel].set(now, a.place) }

// pressLever pushes a two-place switch over and lets it go.
type pressLever struct {
	channel int
	lasts   int64
}

func (a pressLever) run(now int64, s *Sim) { s.transmitter.levers[a.channel].press(now, a.lasts) }

// setCut moves the switch of the throttle cut.
type setCut struct{ on bool }

func (a setCut) run(now int64, s *Sim) { s.transmitter.setCut(now, a.on) }

// moveStick moves a stick or a knob.
type moveStick struct {
	channel  int
	to, over int64
}

func (a moveStick) run(now int64, s *Sim) { s.transmitter.hands[a.channel].move(now, a.to, a.over) }

// stirSticks stirs sticks and lets them go back to where they were.
type stirSticks struct {
	channels []int
	lasts    int64
}

func (a stirSticks) run(now int64, s *Sim) {
	for _, c := range a.channels {
		s.transmitter.hands[c].stir(now, a.lasts)
	}
}

// releaseSticks lets go of sticks.
type releaseSticks struct{ channels []int }

func (a releaseSticks) run(now int64, s *Sim) {
	for _, c := range a.channels {
		s.transmitter.hands[c].release(now)
	}
}

// hiccup has a receiver take up its presets for a while, without a flag.
type hiccup struct {
	tap   int
	lasts int64
}

func (a hiccup) run(now int64, s *Sim) { s.benches[a.tap].rx.hiccup(now, a.lasts) }

// supply gives a receiver power, or takes it.
type supply struct {
	tap int
	on  bool
}

func (a supply) run(now int64, s *Sim) { s.benches[a.tap].rx.power(now, a.on) }

// cable pulls or puts in the adapter's plug.
type cable struct {
	tap int
	in  bool
}

func (a cable) run(now int64, s *Sim) {
	if a.tap < len(s.benches) {
		s.benches[a.tap].plug(now, a.in)
		return
	}
	s.leads.board.plug(now, a.in)
}

// restartBoard has the capture board begin anew.
type restartBoard struct{}

func (restartBoard) run(now int64, s *Sim) { s.leads.board.restart(now) }

// tiltModel tilts the model.
type tiltModel struct {
	about    axis
	to, over int64 // millidegrees, ns
}

func (a tiltModel) run(now int64, s *Sim) { s.leads.hands.tilt(now, a.about, a.to, a.over) }

// byHand says whether hands do it.
func byHand(a action) bool {
	switch a.(type) {
	case setLever, pressLever, setCut, moveStick, stirSticks, releaseSticks, tiltModel:
		return true
	}
	return false
}

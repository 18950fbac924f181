package world

// action is what a step does to the bench.
type action interface {
	run(now int64, s *Sim)
}

// power switches the transmitter.
type power struct{ on bool }

func (a power) run(now int64, s *Sim) { s.transmitter.power(now, a.on) }

// muteAir keeps the signal from one receiver, or lets it through again.
type muteAir struct {
	tap int
	on  bool
}

func (a muteAir) run(now int64, s *Sim) { s.benches[a.tap].link.let(now, a.on) }

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

// wiggleSticks stirs sticks and lets them go back to where they were.
type wiggleSticks struct {
	channels []int
	lasts    int64
}

func (a wiggleSticks) run(now int64, s *Sim) {
	for _, c := range a.channels {
		s.transmitter.hands[c].wiggle(now, a.lasts)
	}
}

// slamSticks throws sticks at widths, like channels.
type slamSticks struct {
	channels []int
	to       []int64
	over     int64
	lasts    int64 // how long they are held there, 0: for ever
}

func (a slamSticks) run(now int64, s *Sim) {
	for i, c := range a.channels {
		s.transmitter.hands[c].slam(now, a.to[i], a.over, a.lasts)
	}
}

// circleSticks has one stick, or two, go round: two channels each.
type circleSticks struct {
	channels     []int
	every, lasts int64
}

func (a circleSticks) run(now int64, s *Sim) {
	for i, c := range a.channels {
		lead := int64(0)
		if i%2 == 1 { // the other axis of the stick
			lead = a.every / 4
		}
		h := s.transmitter.hands[c]
		reach := circlesFrom + h.rng.Int64N(circlesTo-circlesFrom)
		h.circle(now, orbit{every: a.every, lead: lead, reach: reach, lasts: a.lasts})
	}
}

// pauseSticks has hands that stir stop for a while.
type pauseSticks struct {
	channels []int
	lasts    int64
}

func (a pauseSticks) run(now int64, s *Sim) {
	for _, c := range a.channels {
		s.transmitter.hands[c].pause(now, a.lasts)
	}
}

// setRate sets how much of the travel of channels is sent.
type setRate struct {
	channels []int
	share    int64 // parts per million
}

func (a setRate) run(now int64, s *Sim) {
	for _, c := range a.channels {
		s.transmitter.rate(now, c, a.share)
	}
}

// setTrim moves the trim of a channel.
type setTrim struct {
	channel int
	by      int64 // ns
}

func (a setTrim) run(now int64, s *Sim) { s.transmitter.trim(now, a.channel, a.by) }

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

// mute has a receiver send no frames for a while.
type mute struct {
	tap   int
	lasts int64
}

func (a mute) run(now int64, s *Sim) { s.benches[a.tap].rx.mute(now, a.lasts) }

// garbleFrames makes the next frames of a receiver wrong.
type garbleFrames struct {
	tap  int
	plan garblePlan
}

func (a garbleFrames) run(_ int64, s *Sim) {
	s.benches[a.tap].rx.garble = garble{plan: &a.plan, left: a.plan.frames}
}

// stall has the computer not read for a while.
type stall struct{ lasts int64 }

func (a stall) run(now int64, s *Sim) {
	for _, in := range s.intakes {
		in.outlet.stall(now + a.lasts)
	}
	s.truths.note(now, "stall", computerName, "began")
	s.truths.note(now+a.lasts, "stall", computerName, "ended")
}

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
	case setLever, pressLever, setCut, moveStick, wiggleSticks, releaseSticks, tiltModel,
		slamSticks, circleSticks, pauseSticks, setRate, setTrim:
		return true
	}
	return false
}

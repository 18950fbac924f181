package world

import "strconv"

// betweenRises is from one output's rise to the next one's where they come one
// after the other (an assumption), if the frame has room.
const betweenRises = 2300 * us

// leads are the servo leads of one receiver with the board that listens there.
type leads struct {
	rx      *receiver
	hands   *tilter
	gyro    *gyro
	learner *learner
	outputs []*output
	trail   *trail
	board   *board
}

func newLeads(s *Plan, rx *receiver, streams streams, l *truthLog) *leads {
	on := &leads{rx: rx, hands: newTilter(s.Hands, streams, l)}
	on.learner = newLearner(s, rx, l)
	on.gyro = newGyro(s, rx, on.hands, streams, l)
	on.gyro.learner = on.learner
	on.board = newBoard(s, streams, l)
	on.trail = &trail{truths: l, to: on.board}
	rng := streams.of("servos " + rx.plan.Name)
	delay, clock := s.Servos.Delay.draw(rng), rng.Int64N(2*clockError+1)-clockError
	for i := range s.Outputs {
		o := on.output(s, i, clock)
		o.delay, o.rng = delay, streams.of("output "+on.board.plan.Name+" "+strconv.Itoa(s.Outputs[i].Number+1))
		on.outputs = append(on.outputs, o)
	}
	return on
}

// output is the i-th of the plan, by the receiver's clock.
func (on *leads) output(s *Plan, i int, clock int64) *output {
	plan := &s.Outputs[i]
	o := &output{bench: s, plan: plan, servos: &s.Servos, rx: on.rx, gyro: on.gyro, learner: on.learner, to: on.trail, last: plan.Neutral}
	o.pace = plan.Every + plan.Every*clock/million
	if !s.Servos.Together {
		o.next = int64(i) * min(betweenRises, plan.Every/int64(len(s.Outputs)))
	}
	return o
}

func (on *leads) actors() []actor {
	all := []actor{on.gyro, on.learner}
	for _, o := range on.outputs {
		all = append(all, o)
	}
	return append(all, on.trail, on.board, on.board.printer, on.board.intake.adapter)
}

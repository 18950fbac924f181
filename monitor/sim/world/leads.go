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
	outputs []*output
	trail   *trail
	board   *board
}

func newLeads(s *Script, rx *receiver, streams streams, l *truthLog) *leads {
	on := &leads{rx: rx, hands: newTilter(s.hands, streams, l)}
	on.gyro = newGyro(s, rx, on.hands, streams, l)
	on.board = newBoard(s, streams, l)
	on.trail = &trail{truths: l, to: on.board}
	rng := streams.of("servos " + rx.plan.name)
	delay, clock := s.servos.delay.draw(rng), rng.Int64N(2*clockError+1)-clockError
	for i := range s.outputs {
		o := on.output(s, i, clock)
		o.delay, o.rng = delay, streams.of("output "+on.board.plan.name+" "+strconv.Itoa(s.outputs[i].number+1))
		on.outputs = append(on.outputs, o)
	}
	return on
}

// output is the i-th of the script, by the receiver's clock.
func (on *leads) output(s *Script, i int, clock int64) *output {
	plan := &s.outputs[i]
	o := &output{script: s, plan: plan, servos: &s.servos, rx: on.rx, gyro: on.gyro, to: on.trail, last: plan.neutral}
	o.pace = plan.every + plan.every*clock/million
	if !s.servos.together {
		o.next = int64(i) * min(betweenRises, plan.every/int64(len(s.outputs)))
	}
	return o
}

func (on *leads) actors() []actor {
	all := []actor{on.gyro}
	for _, o := range on.outputs {
		all = append(all, o)
	}
	return append(all, on.trail, on.board, on.board.printer, on.board.intake.adapter)
}

package world

import "slices"

// Pulse is one servo pulse that a receiver really sent. Times are ns since the
// start.
type Pulse struct {
	Output      int // from 1
	Rise, Width int64
}

func (p *Pulse) fall() int64 { return p.Rise + p.Width }

// trail has the pulses that are under way, and brings each to the board when it
// falls.
type trail struct {
	truths *truthLog
	to     *board
	queue  []Pulse // by their ends
	ended  []Pulse
}

func (t *trail) put(p Pulse) {
	i := len(t.queue)
	for i > 0 && t.queue[i-1].fall() > p.fall() {
		i--
	}
	t.queue = slices.Insert(t.queue, i, p)
}

func (t *trail) due() int64 {
	if len(t.queue) == 0 {
		return Never
	}
	return t.queue[0].fall()
}

func (t *trail) act() {
	p := t.queue[0]
	t.queue = t.queue[1:]
	if t.truths.keep {
		t.ended = append(t.ended, p)
	}
	t.to.see(&p)
}

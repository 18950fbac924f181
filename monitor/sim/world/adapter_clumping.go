package world

// packetLen is what a full packet of a USB serial adapter carries, bytes
// (common practice: 64 less two of status).
const packetLen = 62

// clumping is an adapter with a free-running timer: what came is handed over
// at the next tick, or as soon as it fills a packet.
type clumping struct {
	packet
	out  *outlet
	tick int64 // the next one
	span int64 // from tick to tick
}

func (a *clumping) receive(c char) {
	if len(a.data) == 0 && a.tick < c.at { // ticks with nothing to hand over
		a.tick += (c.at - a.tick + a.span - 1) / a.span * a.span
	}
	a.add(c)
	if len(a.data) == packetLen {
		a.send(c.at, a.out)
	}
}

func (a *clumping) due() int64 {
	if len(a.data) == 0 {
		return Never
	}
	return a.tick
}

func (a *clumping) act() { a.send(a.tick, a.out) }

func (a *clumping) lose() { a.packet = packet{} }

package uart

import "benchproof.example/decode/edge"

// Auto is a decoder that finds the polarity by itself.
//
// A level that lasts for two characters is a rest. A line rests idle, again and
// again; at the other level only now and then: a break, a sender without power. So
// the level with three rests more than the other is idle.
//
// Until then edges are kept, up to keptMost of them. If these, or all there are by
// End, do not show, that polarity is taken under which more stop bits are where they
// should be (parity says nothing here: where the wrong one was asked for, all
// characters have it); where both are alike, the level with more rests, then a plain
// line. No character is lost or altered by the wait.
type Auto struct {
	Decoder *Decoder // nil until the polarity is known

	rate    edge.Rate
	format  Format
	long    int64 // ticks of a rest
	rests   int   // rests low, less those high
	counted bool  // the latest edge's level is among them
	kept    []edge.Edge
	until   int64 // tick up to which the line is known
}

const (
	keptMost = 8192 // edges: some forty frames of a servo bus
	enough   = 3    // rests
)

// NewAuto makes one; the format's own polarity does not matter.
func NewAuto(rate edge.Rate, f Format) (*Auto, error) {
	if err := f.Check(rate); err != nil {
		return nil, err
	}
	return &Auto{rate: rate, format: f, long: newGrid(rate, f.Baud).at(int64(4 * f.bits()))}, nil
}

// Inverted is the polarity found; false for known before it is.
func (a *Auto) Inverted() (inverted, known bool) { return a.format.Inverted, a.Decoder != nil }

// Edge takes the next edge, like Decoder.Edge.
func (a *Auto) Edge(e edge.Edge, take func(*Char)) {
	if a.Decoder == nil {
		a.rested(e.Tick, take)
	}
	if a.Decoder != nil {
		a.Decoder.Edge(e, take)
		return
	}
	a.counted = false
	if a.kept = append(a.kept, e); len(a.kept) == keptMost {
		a.End(take)
	}
}

// Until says that the line stood as it is up to a tick, like Decoder.Until.
func (a *Auto) Until(tick int64, take func(*Char)) {
	if a.Decoder == nil {
		a.rested(tick, take)
	}
	if a.Decoder != nil {
		a.Decoder.Until(tick, take)
	}
}

// End decides by what has come, where nothing was decided yet.
func (a *Auto) End(take func(*Char)) {
	if a.Decoder != nil {
		return
	}
	inverted, plain := a.stops(true), a.stops(false)
	a.decide(inverted > plain || inverted == plain && a.rests > 0, take)
}

// rested takes time that passes, and counts the level of the latest edge, once it is
// a rest.
func (a *Auto) rested(tick int64, take func(*Char)) {
	a.until = tick
	if len(a.kept) == 0 || a.counted {
		return
	}
	latest := a.kept[len(a.kept)-1]
	if latest.Level == edge.Unknown || tick-latest.Tick < a.long {
		return
	}
	a.counted = true
	if latest.Level == edge.Low {
		a.rests++
	} else {
		a.rests--
	}
	if max(a.rests, -a.rests) == enough {
		a.decide(a.rests > 0, take)
	}
}

// stops are the good stop bits of what was kept, less the bad ones, under a polarity.
func (a *Auto) stops(inverted bool) (n int) {
	a.decoded(inverted, func(c *Char) {
		if c.Framing {
			n--
		} else {
			n++
		}
	})
	return n
}

// decide hands what was kept to the decoder of a polarity.
func (a *Auto) decide(inverted bool, take func(*Char)) {
	a.format.Inverted = inverted
	a.Decoder = a.decoded(inverted, take)
	a.kept = nil
}

// decoded is a decoder of a polarity that has taken what was kept.
func (a *Auto) decoded(inverted bool, take func(*Char)) *Decoder {
	f := a.format
	f.Inverted = inverted
	d, _ := NewDecoder(a.rate, f) // was checked
	for _, e := range a.kept {
		d.Edge(e, take)
	}
	d.Until(a.until, take)
	return d
}

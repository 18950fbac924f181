package uart

import "benchproof.example/decode/edge"

// Auto is a decoder that finds the polarity by itself. A line stands idle for longer
// than a character can hold one level, but for a break: the first level that lasts
// for two characters is idle. Until then edges are kept, few enough; if none lasts
// so long, the polarity under which fewer characters are bad is taken, and a plain
// line where both are alike.
type Auto struct {
	Decoder *Decoder // nil until the polarity is known

	rate   edge.Rate
	format Format
	long   int64 // ticks
	kept   []edge.Edge
}

// keptMost is how many edges are kept: some forty frames of a servo bus.
const keptMost = 8192

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
	if a.Decoder != nil {
		a.Decoder.Edge(e, take)
		return
	}
	a.rested(e.Tick, take)
	if a.Decoder != nil {
		a.Decoder.Edge(e, take)
		return
	}
	if a.kept = append(a.kept, e); len(a.kept) == keptMost {
		a.compare(take)
	}
}

// Until says that the line stood as it is up to a tick, like Decoder.Until. At the
// end of a capture, End goes before it.
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
	if a.Decoder == nil {
		a.compare(take)
	}
}

// rested looks whether the level of the latest edge stood for long.
func (a *Auto) rested(tick int64, take func(*Char)) {
	if n := len(a.kept); n > 0 && a.kept[n-1].Level != edge.Unknown && tick-a.kept[n-1].Tick >= a.long {
		a.decide(a.kept[n-1].Level == edge.Low, take)
	}
}

// compare tries both polarities on what was kept.
func (a *Auto) compare(take func(*Char)) {
	var good [2]int
	for i, inverted := range []bool{false, true} {
		d := a.decoder(inverted)
		for _, e := range a.kept {
			d.Edge(e, func(c *Char) {
				if c.Bad() {
					good[i]--
				} else {
					good[i]++
				}
			})
		}
	}
	a.decide(good[1] > good[0], take)
}

func (a *Auto) decoder(inverted bool) *Decoder {
	f := a.format
	f.Inverted = inverted
	d, _ := NewDecoder(a.rate, f) // was checked
	return d
}

// decide hands what was kept to the decoder of a polarity.
func (a *Auto) decide(inverted bool, take func(*Char)) {
	a.format.Inverted = inverted
	a.Decoder = a.decoder(inverted)
	for _, e := range a.kept {
		a.Decoder.Edge(e, take)
	}
	a.kept = nil
}

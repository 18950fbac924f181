package standin

// listener hears the characters of a wire.
type listener interface{ hear(c char) }

// adapter gathers the characters of a wire and hands them over through an
// outlet.
type adapter interface {
	actor
	listener
	// lose forgets what was not handed over.
	lose()
}

// packet is what an adapter gathers. One bad character marks the whole.
type packet struct {
	data []byte
	bad  bool
}

func (p *packet) add(c char) { p.data, p.bad = append(p.data, c.b), p.bad || c.bad }

// send hands the packet to an outlet and starts a new one.
func (p *packet) send(at int64, out *outlet) {
	out.put(Delivery{At: at, Kind: Data, Data: p.data, Bad: p.bad})
	*p = packet{}
}

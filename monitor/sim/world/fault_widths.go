package world

// straight sends a channel along another straight line: what should be from[0]
// comes out as to[0], from[1] as to[1], and what lies between or beyond goes
// with them. from[0] and from[1] differ. Widths are ns.
type straight struct {
	channel  int
	from, to [2]int64
}

func (f straight) bend(_ int64, s *sent) {
	w := &s.widths[f.channel]
	*w = f.to[0] + (*w-f.from[0])*(f.to[1]-f.to[0])/(f.from[1]-f.from[0])
}

// clip keeps a channel between two widths.
type clip struct {
	channel   int
	low, high int64
}

func (f clip) bend(_ int64, s *sent) {
	s.widths[f.channel] = min(max(s.widths[f.channel], f.low), f.high)
}

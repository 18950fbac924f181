package world

// LineFault sends a channel along another straight line: what should be from[0]
// comes out as to[0], from[1] as to[1], and what lies between or beyond goes
// with them. from[0] and from[1] differ. Widths are ns.
type LineFault struct {
	Channel  int
	From, To [2]int64
}

func (f LineFault) begin(*Plan) bender { return f }

func (f LineFault) bend(_ int64, s *sent) {
	w := &s.widths[f.Channel]
	*w = f.To[0] + (*w-f.From[0])*(f.To[1]-f.To[0])/(f.From[1]-f.From[0])
}

// ClipFault keeps a channel between two widths.
type ClipFault struct {
	Channel   int
	Low, High int64
}

func (f ClipFault) begin(*Plan) bender { return f }

func (f ClipFault) bend(_ int64, s *sent) {
	s.widths[f.Channel] = min(max(s.widths[f.Channel], f.Low), f.High)
}

package world

// SlewFault lets a channel go no faster than from stop to stop in a time: it passes through
// all that lies between two places of a switch.
type SlewFault struct {
	Channel int
	Lasts   int64 // ns
}

func (f SlewFault) begin(p *Plan) bender {
	c := &p.Channels[f.Channel]
	return &slew{SlewFault: f, travel: c.High - c.Low}
}

// slew follows a SlewFault.
type slew struct {
	SlewFault
	travel    int64 // ns of width
	at, since int64 // where it is, and when it was there
	began     bool
}

func (f *slew) bend(now int64, s *sent) {
	to := s.widths[f.Channel]
	if most := f.travel * min(now-f.since, f.Lasts) / f.Lasts; f.began {
		to = f.at + min(max(to-f.at, -most), most)
	}
	f.at, f.since, f.began = to, now, true
	s.widths[f.Channel] = to
}

// LagFault lets a channel follow late.
type LagFault struct {
	Channel int
	Lasts   int64 // ns
}

func (f LagFault) begin(*Plan) bender { return &lags{LagFault: f} }

// lags follows a LagFault.
type lags struct {
	LagFault
	coming []change
	at     int64 // what is sent
	began  bool
}

// change is a width that the control came to.
type change struct{ at, width int64 }

func (f *lags) bend(now int64, s *sent) {
	width := s.widths[f.Channel]
	if !f.began {
		f.at, f.began = width, true
	}
	f.coming = append(f.coming, change{now, width})
	for len(f.coming) > 0 && f.coming[0].at <= now-f.Lasts {
		f.at = f.coming[0].width
		f.coming = f.coming[1:]
	}
	s.widths[f.Channel] = f.at
}

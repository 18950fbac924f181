package world

// slew lets a channel go no faster than travel in lasts: it passes through all
// that lies between two places of a switch.
type slew struct {
	channel       int
	travel, lasts int64 // ns of width, ns
	at, since     int64 // where it is, and when it was there
	began         bool
}

func (f *slew) bend(now int64, s *sent) {
	to := s.widths[f.channel]
	if most := f.travel * min(now-f.since, f.lasts) / f.lasts; f.began {
		to = f.at + min(max(to-f.at, -most), most)
	}
	f.at, f.since, f.began = to, now, true
	s.widths[f.channel] = to
}

// lags lets a channel follow late.
type lags struct {
	channel int
	lasts   int64 // ns
	coming  []change
	at      int64 // what is sent
	began   bool
}

// change is a width that the control came to.
type change struct{ at, width int64 }

func (f *lags) bend(now int64, s *sent) {
	width := s.widths[f.channel]
	if !f.began {
		f.at, f.began = width, true
	}
	f.coming = append(f.coming, change{now, width})
	for len(f.coming) > 0 && f.coming[0].at <= now-f.lasts {
		f.at = f.coming[0].width
		f.coming = f.coming[1:]
	}
	s.widths[f.channel] = f.at
}

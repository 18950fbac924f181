package world

// phase is a flight phase: while a lever stands at a place, the transmitter adds
// offsets to other channels.
type phase struct {
	at   standing
	adds map[int]int64 // ns, by channel
}

func (f *phase) bend(_ int64, s *sent) {
	if s.stands(f.at) {
		for c, off := range f.adds {
			s.widths[c] += off
		}
	}
}

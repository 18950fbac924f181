package world

// PhasePlan is a flight phase: while a lever stands at a place, the transmitter adds
// offsets to other channels.
type PhasePlan struct {
	At   Standing
	Adds map[int]int64 // ns, by channel
}

func (f *PhasePlan) bend(_ int64, s *sent) {
	if s.stands(f.At) {
		for c, off := range f.Adds {
			s.widths[c] += off
		}
	}
}

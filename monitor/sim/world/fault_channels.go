package world

// swap sends each of two channels in the place of the other.
type swap [2]int

func (f swap) bend(_ int64, s *sent) { s.widths[f[0]], s.widths[f[1]] = s.widths[f[1]], s.widths[f[0]] }

// mix adds a share of what one channel is off 1500 µs to another.
type mix struct {
	from, to int
	share    int64 // of million
}

func (f mix) bend(_ int64, s *sent) {
	s.widths[f.to] += (s.widths[f.from] - neutralWidth) * f.share / million
}

// million is 1 in the fixed-point shares of faults.
const million = 1_000_000

// memory sends what another model's settings make of the controls: nothing
// that the hands do. Channels that it does not name stand at 1500 µs.
type memory map[int]int64

func (f memory) bend(_ int64, s *sent) {
	for i := range s.widths {
		s.widths[i] = neutralWidth
		if w, named := f[i]; named {
			s.widths[i] = w
		}
	}
}

package world

// SwapFault sends each of two channels in the place of the other.
type SwapFault [2]int

func (f SwapFault) begin(*Plan) bender { return f }

func (f SwapFault) bend(_ int64, s *sent) {
	s.widths[f[0]], s.widths[f[1]] = s.widths[f[1]], s.widths[f[0]]
}

// MixFault adds a share of what one channel is off 1500 µs to another.
type MixFault struct {
	From, To int
	Share    int64 // of million
}

func (f MixFault) begin(*Plan) bender { return f }

func (f MixFault) bend(_ int64, s *sent) {
	s.widths[f.To] += (s.widths[f.From] - NeutralWidth) * f.Share / million
}

// million is 1 in the fixed-point shares of faults.
const million = 1_000_000

// MemoryFault sends what another model's settings make of the controls: nothing
// that the hands do. Channels that it does not name stand at 1500 µs.
type MemoryFault map[int]int64

func (f MemoryFault) begin(*Plan) bender { return f }

func (f MemoryFault) bend(_ int64, s *sent) {
	for i := range s.widths {
		s.widths[i] = NeutralWidth
		if w, named := f[i]; named {
			s.widths[i] = w
		}
	}
}

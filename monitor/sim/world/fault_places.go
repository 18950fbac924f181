package world

// lands has a place of a switch come out elsewhere.
type lands struct {
	at    standing
	width int64
}

func (f lands) bend(_ int64, s *sent) {
	if s.stands(f.at) {
		s.widths[f.at.channel] = f.width
	}
}

// combo has one combination of two switches come out as another.
type combo struct {
	at     [2]standing
	widths [2]int64
}

func (f combo) bend(_ int64, s *sent) {
	if s.stands(f.at[0]) && s.stands(f.at[1]) {
		s.widths[f.at[0].channel], s.widths[f.at[1].channel] = f.widths[0], f.widths[1]
	}
}

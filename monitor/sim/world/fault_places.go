package world

// LandsFault has a place of a switch come out elsewhere.
type LandsFault struct {
	At    Standing
	Width int64
}

func (f LandsFault) begin(*Plan) bender { return f }

func (f LandsFault) bend(_ int64, s *sent) {
	if s.stands(f.At) {
		s.widths[f.At.Channel] = f.Width
	}
}

// ComboFault has one combination of two switches come out as another.
type ComboFault struct {
	At     [2]Standing
	Widths [2]int64
}

func (f ComboFault) begin(*Plan) bender { return f }

func (f ComboFault) bend(_ int64, s *sent) {
	if s.stands(f.At[0]) && s.stands(f.At[1]) {
		s.widths[f.At[0].Channel], s.widths[f.At[1].Channel] = f.Widths[0], f.Widths[1]
	}
}

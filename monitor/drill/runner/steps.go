package runner

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	edgeWithin  = 10_000                 // ns: an edge that was found from one side lies within that,
	edgeDoubt   = 1_000                  // ns: so far beyond what was heard a knob that stands may have been for a frame, and sent the receiver over
	edgesWithin = 20_000                 // and from both within that
	half        = 500 * unit.Millisecond // a knob is followed in halves of a second
	looksHalves = 4                      // that it stands before what the surfaces do is told: a second and a half at least
	knobSway    = 8_000                  // ns that a knob which stands goes to and fro at most (an assumption of ours)
	homeWithin  = 15_000                 // ns: how near the width from which a way begins a hand brings the knob
	nearTarget  = 5_000                  // ns to either side of a width that is asked for
	mostLooks   = 16                     // of one way: seven find an edge
	mostUnsure  = 4                      // of these that can't be told
)

// Steps is a knob that is stepped towards an edge from one side. Its widths count along the way: those
// of a way from above are negative, so that each way goes up.
//
//	mode   near           |   far
//	       Start .. Lo ...|... Hi .. End
//	knob   home >>>> stands: look
type Steps struct {
	Prompt string     `json:"prompt"` // whose way it is, "" for none
	Start  unit.Width `json:"start"`
	End    unit.Width `json:"end"`
	Lo     unit.Width `json:"lo"`     // the near mode was seen there,
	Hi     unit.Width `json:"hi"`     // the far one there
	Near   bool       `json:"near"`   // the near one was seen where the way starts,
	Far    bool       `json:"far"`    // the far one where it ends
	Target unit.Width `json:"target"` // where the knob is to stand
	Onward bool       `json:"onward"` // it needs not go back before that

	Home   bool       `json:"home"`    // it came from where the way starts,
	Peak   unit.Width `json:"peak"`    // and was there at most since
	Halves []KnobHalf `json:"halves"`  // the latest half seconds, without a hole between
	Rests  unit.Width `json:"rests"`   // near where it is
	Since  unit.Time  `json:"stopped"` // since this date
	Wire   unit.Time  `json:"wire"`    // of the latest sample

	Asked string        `json:"asked"` // the key that was asked about, "" for none
	Found event.EdgeWay `json:"found"`
	Up    event.EdgeWay `json:"up"` // the way from below that is done, with one from above
}

// KnobHalf is between which widths along the way the knob was in half a second.
type KnobHalf struct {
	Number int64      `json:"number"` // of wire time
	Least  unit.Width `json:"least"`
	Most   unit.Width `json:"most"`
}

// see takes where the knob is along the way.
func (s *Steps) see(x unit.Width, wire, date unit.Time) {
	if wire.Sub(s.Wire) > hole {
		s.unheard()
	}
	s.Wire = wire
	switch {
	case x <= s.Start+homeWithin:
		s.Home, s.Peak = true, x
	case s.Home:
		s.Peak = max(s.Peak, x)
	}
	if s.Since == 0 || unit.Abs(x-s.Rests) > knobSway {
		s.Rests, s.Since = x, date
	}
	n := len(s.Halves)
	if number := int64(wire) / int64(half); n == 0 || s.Halves[n-1].Number != number {
		if n == looksHalves {
			s.Halves = s.Halves[:copy(s.Halves, s.Halves[1:])]
		}
		s.Halves = append(s.Halves, KnobHalf{number, x, x})
		return
	}
	latest := &s.Halves[n-1]
	latest.Least, latest.Most = min(latest.Least, x), max(latest.Most, x)
}

// unheard is for when nobody knows where the knob was.
func (s *Steps) unheard() { s.Home, s.Since, s.Halves = false, 0, s.Halves[:0] }

// stood is between what the knob stood for the last while.
func (s *Steps) stood() (least, most unit.Width) {
	for i, h := range s.Halves {
		if i == 0 {
			least, most = h.Least, h.Most
		}
		least, most = min(least, h.Least), max(most, h.Most)
	}
	return least, most
}

// stands reports that the knob stood for long enough.
func (s *Steps) stands() bool {
	least, most := s.stood()
	return len(s.Halves) == looksHalves && most-least <= knobSway
}

// off reports that the knob stands where a look tells nothing new.
func (s *Steps) off() bool {
	least, most := s.stood()
	switch {
	case !s.Near:
		return most > s.Start+homeWithin
	case !s.Far:
		return least < s.End-homeWithin
	}
	return least <= s.Lo || most >= s.Hi
}

// shy reports that the knob did not come from where the way starts, so that a receiver which holds on to its mode
// may still be in the far one.
func (s *Steps) shy() bool { return s.Near && !s.Home }

// past reports that it went beyond what is known to be the far mode.
func (s *Steps) past() bool { return s.Near && s.Far && s.Peak >= s.Hi }

// looked takes what the surfaces do where the knob stands: near, far, or neither.
func (s *Steps) looked(key string) {
	s.Found.Looks++
	s.Onward = false
	least, most := s.stood()
	switch {
	case key == drill.KeyNeither:
		s.Found.Unsure++
	case !s.Near:
		s.Near, s.Lo = true, min(least, s.Start)
	case !s.Far:
		s.Far, s.Hi = true, max(most, s.End)
	case key == keyNear:
		s.Lo, s.Onward = least, true
	default:
		s.Hi = max(s.Peak, most)
	}
	s.aim()
}

// aim says where the knob is to stand next: in the middle of what is left, and beside that where nothing could be told.
func (s *Steps) aim() {
	switch left := s.Hi - s.Lo; {
	case !s.Near:
		s.Target = s.Start
	case !s.Far:
		s.Target = s.End
	default:
		parts := [...]unit.Width{4, 2, 6, 3, 5}
		s.Target = s.Lo + left*parts[s.Found.Unsure%int64(len(parts))]/8
	}
	s.Onward = s.Onward && s.Home && s.Peak <= s.Target
	s.Home = s.Home && s.Onward
	s.Asked = ""
}

// over reports that the way is done: the edge is found, or won't be.
func (s *Steps) over() bool {
	switch {
	case s.Found.Why != "":
	case s.Near && s.Far && s.Hi-s.Lo <= edgeWithin-2*edgeDoubt:
	case s.Found.Unsure >= mostUnsure:
		s.Found.Why = tooUnsure
	case s.Found.Looks >= mostLooks:
		s.Found.Why = tooManyLooks
	default:
		return false
	}
	return true
}

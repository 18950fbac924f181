package draft

import "benchproof.example/monitor/unit"

const (
	strokeLeast unit.Width = 40_000                 // ns that a control must go
	endWithin   unit.Width = 2_500                  // ns: two strokes that end so near to each other end at the stop
	restWithin  unit.Width = 12_000                 // ns, so near to each other begin two strokes
	endHeld                = 100 * unit.Millisecond // at the stop: shorter, frames may not show it
	restHeld               = 350 * unit.Millisecond // behind the second stroke
)

// Stroke is a movement from a rest to a stop and back, made twice with the same end.
//
//	stop    __      __
//	       /  \    /  \
//	rest _/    \__/    \____
type Stroke struct {
	Rest   unit.Width
	End    unit.Width
	Spread unit.Width // between the two ends
	Apart  unit.Width // between the rests before and behind the second
	Ends   [2]Turn
	Home   Turn // between them
}

func (s *Stroke) travel() unit.Width { return unit.Abs(s.End - s.Rest) }

// stroke finds a channel's two equal strokes, the second of which has just ended.
func (t *Track) stroke() (Stroke, bool) {
	n := len(t.Turns)
	rest, resting := t.stands(restHeld)
	if n < 3 || !resting {
		return Stroke{}, false
	}
	first, between, second := &t.Turns[n-3], &t.Turns[n-2], &t.Turns[n-1]
	s := Stroke{Rest: rest, End: second.Width, Ends: [2]Turn{*first, *second}, Home: *between}
	s.Spread, s.Apart = unit.Abs(first.Width-second.Width), unit.Abs(between.Width-rest)
	equal := s.Spread <= endWithin && s.Apart <= restWithin && min(first.Held, second.Held) >= endHeld
	return s, equal && s.travel() >= strokeLeast && (second.Width > rest) == (first.Width > between.Width)
}

// fromRest reports that the channel was at its rest when it was asked, or, if it was on its way then, that the first
// of the strokes, too, began at the rest. Of a knob, which may rest anywhere, only that tells a rest from a stop:
//
//	stop  __    __            stop        __    _ ?
//	     /  \  /  \          asked __     /  \  /
//	rest_    \/    \__                \__/    \/
func (s *Stroke) fromRest(t *Track) bool {
	if unit.Abs(t.Began-s.Rest) <= restWithin {
		return true
	}
	if unit.Abs(t.Began-s.End) <= restWithin {
		return false
	}
	before := t.Began
	if n := len(t.Turns); n > 3 {
		before = t.Turns[n-4].Width
	}
	return unit.Abs(before-s.Rest) <= restWithin
}

// along is how far another channel, from 0, went along with both strokes; 0 where it did not.
func (s *Stroke) along(channel int) unit.Width {
	rest := s.Home.With[channel]
	a, b := s.Ends[0].With[channel]-rest, s.Ends[1].With[channel]-rest
	if unit.Abs(a) < mixLeast || unit.Abs(b) < mixLeast || unit.Abs(a-b) > mixWithin {
		return 0
	}
	return b
}

const (
	mixLeast  unit.Width = 10_000 // ns that a channel must go along by
	mixWithin unit.Width = 6_000  // ns by which two strokes may differ in that
)

package sheet

import "slices"

// What drills are to find in figures.
const (
	MeasureDegrees = "degrees" // how far outputs go for each degree of tilt
	MeasureLevel   = "level"   // in which attitude nothing is corrected
	MeasureEdges   = "edges"   // between which widths the receiver goes from mode to mode
	MeasureGain    = "gain"    // how the answers follow the gain knob
)

// levelWithin is how far the stabiliser's level may be from the attitude for flying where the
// sheet does not say, degrees: far enough for a level by eye (an assumption of ours).
const levelWithin = 2

// Measures reports whether the sheet wants something in figures.
func (s *Sheet) Measures(what string) bool {
	return s.Stabiliser != nil && slices.Contains(s.Stabiliser.Measure, what)
}

// LevelLimit is how far its level may be off the attitude for flying, millidegrees.
func (s *Stabiliser) LevelLimit() int64 {
	if s.LevelWithin == 0 {
		return 1000 * levelWithin
	}
	return 1000 * int64(s.LevelWithin)
}

// Off is the first mode that does nothing, and where it is wanted first; nil where there is none.
func (s *Sheet) Off() *Mode {
	if s.Stabiliser == nil {
		return nil
	}
	for i := range s.Stabiliser.Modes {
		if m := &s.Stabiliser.Modes[i]; m.Does == DoesNothing && len(m.WantedAt) > 0 {
			return m
		}
	}
	return nil
}

func (r *reader) measure(rec *record, s *Stabiliser) {
	for _, n := range r.list(rec.get("measure")) {
		what, ok := r.choice(n)
		if ok && slices.Contains(s.Measure, what) {
			r.refuse(n, what+" a second time", "each once")
		}
		s.Measure = append(s.Measure, what)
	}
	s.LevelWithin, _ = r.whole(rec.get("level_within"))
}

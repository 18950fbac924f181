package sheet

import "benchproof.example/monitor/unit"

// GainKnob is the knob that sets the gain by a law in which one place of it is one gain; nil where there is none.
func (s *Sheet) GainKnob() *Channel {
	if s.Gain == nil || s.Gain.Law != Folded && s.Gain.Law != OneSided {
		return nil
	}
	c, ok := s.Channel(s.Gain.Channel)
	if !ok || c.Kind != Knob || len(c.Places) != 2 {
		return nil
	}
	return c
}

// Answering is the first mode whose answers stay that is wanted somewhere, nil where there is none: only those of
// such a mode can be measured at rest.
func (s *Sheet) Answering() *Mode {
	if s.Stabiliser == nil {
		return nil
	}
	for i := range s.Stabiliser.Modes {
		if m := &s.Stabiliser.Modes[i]; m.Does == DoesStay && len(m.WantedAt) > 0 {
			return m
		}
	}
	return nil
}

// Share is how much of full gain a width is by the law, parts per million: none on the far side of zero gain where
// there is no full gain, and no more than all of it.
func (g *Gain) Share(width unit.Width) int64 {
	const million = 1_000_000
	share := int64(0)
	for _, full := range g.Full {
		share = max(share, int64(width-g.Zero)*million/int64(full-g.Zero))
	}
	return min(share, million)
}

// checkGainSeries refuses to have the gain measured where nothing would show it.
func (r *reader) checkGainSeries(stabiliser *node) {
	if r.sheet.Measures(MeasureGain) && (r.sheet.GainKnob() == nil || r.sheet.Answering() == nil) {
		r.refuse(stabiliser.find("measure"), "gain to be measured, and no knob that sets it by a law that is folded or one-sided, "+
			"or no wanted mode whose answers stay",
			"a gain on a channel of kind knob, and a mode with does: stays that is wanted somewhere")
	}
}

package link

import (
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// suspicion is that values may be held, or be presets, without a flag. How it ends
// confirms it or not.
//
//	stick   /\/\/\________________|\/\/\    froze in motion, then leapt: a hold
//	        /\/\/\______|_________|\/\/\    leapt twice: presets between
//	switch  ___________|----------|______   many leapt together, and back: presets,
//	                                         or a flight phase whose own switch leapt along
type suspicion struct {
	base.UnflaggedHold
	Leaps int    // since
	Alone uint32 // channels that the first of them moved
}

// suspect makes a suspicion of a leap, where there is one.
func (s *suspicion) suspect(l *leap, v *base.View) {
	switch {
	case l.unfreezes(v):
		*s = suspicion{UnflaggedHold: base.UnflaggedHold{From: l.Stop.At, Because: becauseMoved, Was: l.Stop.Counts}, Alone: l.Alone}
	case l.channels() >= leapMany && vital(l.Alone, v):
		*s = suspicion{UnflaggedHold: base.UnflaggedHold{From: l.Before, Because: becauseLeapt, Was: l.From}, Alone: l.Alone}
		if l.Stop.Sure { // sticks had frozen before
			s.From, s.Was = l.Stop.At, l.Stop.Counts
		}
	default:
		return
	}
	s.add(l)
}

// add takes a leap: live frames begin again with the latest.
func (s *suspicion) add(l *leap) {
	s.Leaps++
	s.To, s.Back, s.Now = l.Before, l.At, l.From
}

// confirmed reports that nothing but the receiver explains what was seen, once a hand
// moves again. back is the leap that came last.
func (s *suspicion) confirmed(back *leap, v *base.View) bool {
	switch {
	case s.Because == becauseMoved:
		return true
	case s.Leaps == 1:
		return false // it may have been a flight phase, or another model
	}
	return !s.phase(back, v) || s.presets(v)
}

// phase reports that all that leapt came back together and that a switch was among
// them: a flight phase looks so.
func (s *suspicion) phase(back *leap, v *base.View) bool {
	own := false
	for ch := range back.To {
		if s.Alone&(1<<ch) == 0 {
			continue
		}
		if unit.Abs(int64(back.To[ch])-int64(s.Was[ch])) >= singleCounts*int64(v.Quantum) {
			return false
		}
		c, ok := v.Sheet.Channel(ch + 1)
		own = own || ok && base.HasPlaces(c.Kind)
	}
	return own
}

// presets reports that what leapt stood at the presets of the sheet: three channels
// or more, and none that has one elsewhere.
func (s *suspicion) presets(v *base.View) bool {
	at := 0
	for ch := range s.Now {
		p, ok := v.Sheet.Preset(ch + 1)
		if s.Alone&(1<<ch) == 0 || !ok || p.Rule == sheet.Hold {
			continue
		}
		if w := v.Sheet.Width(s.Now[ch]); !p.Met(w, w, v.Sheet.Tolerance.Preset) {
			return false
		}
		at++
	}
	return at >= leapMany
}

// vital reports that the throttle, or a channel that chooses the mode, is among some.
func vital(mask uint32, v *base.View) bool {
	for i := range v.Sheet.Channels {
		c := &v.Sheet.Channels[i]
		if c.Kind == sheet.Throttle && !v.Sheet.Digital(c.Number) && mask&(1<<(c.Number-1)) != 0 {
			return true
		}
	}
	for _, n := range v.ModeChannels {
		if !v.Sheet.Digital(n) && mask&(1<<(n-1)) != 0 {
			return true
		}
	}
	return false
}

package draft

import (
	"slices"

	"benchproof.example/monitor/unit"
)

const (
	stillFor               = 180 * unit.Millisecond // that channels stand, until the outputs stand too
	stillsKept             = 96                     // of one output
	stillPulses            = 2                      // that a still must have
	slopesLeast            = 2                      // of one channel
	slopesApart int64      = 50_000                 // ppm that they may differ by
	movedAlone  unit.Width = 40_000                 // ns that one channel moved from still to still, and no other a tenth of it
)

// Still is what an output did while the channels stood.
type Still struct {
	Widths Widths
	Sum    unit.Width
	Pulses int
	from   unit.Time
}

func (s *Still) width() unit.Width { return s.Sum / unit.Width(s.Pulses) }

// Stills are those of an output, from the oldest on. Where a fit to its movement stays unsure, as on a noisy line, they
// still tell what moves it: sticks are asked for one by one, and held.
type Stills struct {
	List []Still
}

// add takes a pulse that came while the channels stood at widths, since a time.
func (s *Stills) add(since unit.Time, widths *Widths, width unit.Width) {
	if n := len(s.List); n == 0 || s.List[n-1].from != since {
		if len(s.List) == stillsKept {
			s.List = append(s.List[:0], s.List[1:]...)
		}
		s.List = append(s.List, Still{Widths: *widths, from: since})
	}
	last := &s.List[len(s.List)-1]
	last.Sum, last.Pulses = last.Sum+width, last.Pulses+1
}

// slope is what a channel, from 0, moves the output by, in parts per million: the middle one of those from still to
// still in which it alone moved. False where there are too few, or they differ.
func (s *Stills) slope(channel int) (ppm int64, ok bool) {
	var slopes []int64
	for i := 1; i < len(s.List); i++ {
		a, b := &s.List[i-1], &s.List[i]
		moved := b.Widths[channel] - a.Widths[channel]
		if min(a.Pulses, b.Pulses) >= stillPulses && unit.Abs(moved) >= movedAlone && alone(a, b, channel) {
			slopes = append(slopes, int64(b.width()-a.width())*1_000_000/int64(moved))
		}
	}
	if len(slopes) < slopesLeast {
		return 0, false
	}
	slices.Sort(slopes)
	n := len(slopes)
	return slopes[n/2], slopes[3*n/4]-slopes[n/4] <= slopesApart
}

// alone reports that no other channel moved by a tenth of what this one did.
func alone(a, b *Still, channel int) bool {
	most := unit.Abs(b.Widths[channel]-a.Widths[channel]) / 10
	for c := range a.Widths {
		if c != channel && unit.Abs(b.Widths[c]-a.Widths[c]) > most {
			return false
		}
	}
	return true
}

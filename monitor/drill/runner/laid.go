package runner

import (
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	standsWithin unit.Width = 8_000  // ns: so far an output strays that stands, three times what a good receiver does at rest (common practice)
	answersHands unit.Width = 30_000 // ns: no jitter, where no stick was moved
)

// Laid is how the model lay on its sides so far, in the levelling drill. Outputs that answered the hands
// which laid it show whether it lies still; where none did, only its time is counted.
//
//	prompt    lay          rest
//	outputs   _/\__/\_    ____________    seen
//	          ________    ____________    counted
//	          _/\__/\_    ____/\______    moved
type Laid struct {
	Answered []int             `json:"answered"` // outputs
	Sides    []event.LevelSide `json:"sides"`
}

// lies takes the answer to a prompt of it.
func (r *Runner) lies(ask *drill.Ask, d *event.DrillAnsweredData, at unit.Time) {
	switch ask.Act {
	case drill.ActStart:
		r.Laid = Laid{}
	case drill.ActSide:
		r.Laid.Answered = nil
		for _, m := range d.Outputs {
			if m.LeastNS != 0 && m.MostNS-m.LeastNS >= answersHands && !r.sticksMoved(d) {
				r.Laid.Answered = append(r.Laid.Answered, m.Output)
			}
		}
	case drill.ActRests:
		side := event.LevelSide{Side: r.sheet.Levelling.Sides[ask.At], LastsNS: at.Sub(r.Since), Still: event.StillCounted}
		r.Laid.rested(&side, d.Outputs, r.sheet.Levelling.Rests)
		r.Laid.Sides = append(r.Laid.Sides[:min(ask.At, len(r.Laid.Sides))], side) // a side that was laid again counts anew
	}
}

// rested says how it is known that the model lay still for so long.
func (l *Laid) rested(side *event.LevelSide, outputs []event.OutputMove, least unit.Duration) {
	for _, m := range outputs {
		if !slices.Contains(l.Answered, m.Output) || m.Pulses == 0 {
			continue
		}
		if m.StoodNS < least {
			side.Still, side.StrayNS = event.StillMoved, max(side.StrayNS, m.MostNS-m.LeastNS)
		} else if side.Still == event.StillCounted {
			side.Still = event.StillSeen
		}
	}
}

// sticksMoved reports that a hand moved a stick, which moves outputs too.
func (r *Runner) sticksMoved(d *event.DrillAnsweredData) bool {
	return slices.ContainsFunc(d.Channels, func(m event.ChannelMove) bool {
		return slices.Contains(r.sticks, m.Channel) && m.MostNS-m.LeastNS > standsWithin
	})
}

// stood adds to what outputs did how long they stood, up to an answer.
func (t *LeadsTrack) stood(moves []event.OutputMove, at unit.Time) {
	for i := range moves {
		o := t.at(moves[i].Output)
		if o.First == 0 || o.Anchor == 0 {
			continue
		}
		moves[i].FirstNS = o.First.Sub(o.Since)
		if at.Sub(o.Last) <= pulseHole {
			moves[i].StoodNS = max(0, at.Sub(o.Anchored))
		}
	}
}

// anchor takes a width: it stands, or goes elsewhere from here on.
func (o *OutputTrack) anchor(w unit.Width, wire unit.Time) {
	if o.Anchor == 0 || unit.Abs(w-o.Anchor) > standsWithin {
		o.Anchor, o.Anchored = w, wire
	}
}

package runner

import (
	"cmp"
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What speaks against a step of a learning procedure.
const (
	taughtNotHeard  = "the receiver did not hear its transmitter at that step"
	taughtNotAtRest = "sticks and throttle were not seen at rest before it began"
	taughtTrim      = "%s rested at %s before it began, and its neutral is %s: centre its trim first"
	taughtNotMade   = "the gesture %s was not seen on the bus"
	taughtTooEarly  = "%s moved before the receiver was ready for it"
	taughtNoServos  = "%s did not move by itself"
	taughtShort     = "%s went to %s, and %s is %s: full rates, and a stick fully over"
	taughtOther     = "%s went to %s where %s %s was asked for, and the receiver may have learned that"
)

// Taught is how far a learning procedure was followed.
//
//	prompt    before   rest   1     2        3/left  3/right  4
//	sticks    _/~\_/~  ____   ____  _______  /~~~    \____    ___
//	outputs   _/~\_/~  ____   __/\  /\_/\__  ?                        by themselves from step 1 on
type Taught struct {
	Steps   []event.LearnedStep `json:"steps,omitempty"`
	Outputs []event.OutputEnds  `json:"outputs,omitempty"` // how far they went before
	Alone   []int               `json:"alone,omitempty"`   // outputs that moved since it began while sticks rested
}

// teaches takes the answer to a prompt of it.
func (r *Runner) teaches(p *drill.Prompt, d *event.DrillAnsweredData) {
	known := map[string]event.LearnedKnown{"wire": event.LearnedSeen, "builder": event.LearnedSaid, "count": event.LearnedCounted}[d.By]
	step := event.LearnedStep{Prompt: d.Prompt, Is: event.PromptWords(d), Known: known}
	switch p.Asks.Act {
	case drill.ActShow:
		r.showsEnds(d)
		return
	case drill.ActCalm:
		step.Doubt = r.doubtCalm(d)
	case drill.ActStart:
		r.Taught.Alone = nil
		step.Doubt = cmp.Or(r.doubtGesture(p, d), r.doubtEarly(d))
		r.alone(d)
	case drill.ActServos:
		r.alone(d)
		r.servos(&r.sheet.Learning.Steps[p.Asks.At], &step, d)
	case drill.ActTeach:
		step.Doubt = r.doubtTaught(&p.Asks, d)
	case drill.ActFinish:
		step.Doubt = r.doubtGesture(p, d)
	case drill.ActLearn, drill.ActWaits:
	default:
		return
	}
	r.Taught.Steps = append(r.Taught.Steps, step)
}

// showsEnds keeps where outputs were with a stick at an end, as the wire showed it.
func (r *Runner) showsEnds(d *event.DrillAnsweredData) {
	for _, m := range d.Outputs {
		if d.By == "wire" && m.Pulses > 0 && m.EndMeanNS != 0 {
			r.Taught.Outputs = event.Takes(r.Taught.Outputs, m.Output, m.EndMeanNS)
		}
	}
}

// doubtCalm is about sticks that are to rest before it begins.
func (r *Runner) doubtCalm(d *event.DrillAnsweredData) string {
	if d.By != "wire" {
		return taughtNotAtRest
	}
	for _, m := range d.Channels {
		c, ok := r.sheet.Channel(m.Channel)
		if ok && c.Kind == sheet.Stick && c.Neutral != 0 && unit.Abs(m.ToNS-c.Neutral) > r.sheet.Tolerance.Neutral {
			return fmt.Sprintf(taughtTrim, c.Name, unit.FormatWidth(m.ToNS), unit.FormatWidth(c.Neutral))
		}
	}
	return ""
}

// doubtGesture is about a gesture that an Enter says was made.
func (r *Runner) doubtGesture(p *drill.Prompt, d *event.DrillAnsweredData) string {
	if p.Until.Gesture != "" && d.By != "wire" {
		return fmt.Sprintf(taughtNotMade, p.Until.Gesture)
	}
	return ""
}

// doubtEarly is about sticks that were moved before they are asked for.
func (r *Runner) doubtEarly(d *event.DrillAnsweredData) string {
	for _, m := range d.Channels {
		if slices.Contains(r.sticks, m.Channel) && d.Frames > 0 && went(m) >= drill.NearEnd {
			return fmt.Sprintf(taughtTooEarly, r.name(m.Channel))
		}
	}
	return ""
}

// alone adds the outputs that moved while sticks rested.
func (r *Runner) alone(d *event.DrillAnsweredData) {
	if r.sticksMoved(d) {
		return
	}
	for _, m := range d.Outputs {
		if m.LeastNS != 0 && m.MostNS-m.LeastNS >= answersHands && !slices.Contains(r.Taught.Alone, m.Output) {
			r.Taught.Alone = append(r.Taught.Alone, m.Output)
		}
	}
}

// servos is about those that the receiver is to move by itself. Without a board only the time is counted.
func (r *Runner) servos(of *sheet.LearnStep, step *event.LearnedStep, d *event.DrillAnsweredData) {
	if step.Doubt = r.doubtEarly(d); step.Doubt != "" || r.leads.Number == 0 {
		return
	}
	var still []string
	for _, n := range of.Outputs {
		if o, _ := r.sheet.Output(n); !slices.Contains(r.Taught.Alone, n) {
			still = append(still, o.Surface)
		}
	}
	r.Taught.Alone = nil
	if step.Known = event.LearnedSeen; len(still) > 0 {
		step.Doubt = fmt.Sprintf(taughtNoServos, text.And(still))
	}
}

// doubtTaught is about a control that was to be brought to a place, and no stick to another end.
func (r *Runner) doubtTaught(ask *drill.Ask, d *event.DrillAnsweredData) string {
	if d.Frames == 0 || d.Signal != event.SignalLive || d.Suspect {
		return taughtNotHeard
	}
	for i := range d.Channels {
		m := &d.Channels[i]
		c, ok := r.sheet.Channel(m.Channel)
		if !ok || c.Kind != sheet.Stick && c.Number != ask.Channel {
			continue
		}
		for _, at := range c.Places {
			doubt := r.doubtOther(ask, c, at, m)
			if c.Number == ask.Channel && at.Name == ask.Place {
				doubt = r.doubtShort(c, at, m)
			}
			if doubt != "" {
				return doubt
			}
		}
	}
	return ""
}

// doubtShort is about a control that was to be brought to a place.
func (r *Runner) doubtShort(c *sheet.Channel, at sheet.Place, m *event.ChannelMove) string {
	went := nearest(at.Width, m.LeastNS, m.MostNS)
	if unit.Abs(went-at.Width) <= r.sheet.Tolerance.Position {
		return ""
	}
	return fmt.Sprintf(taughtShort, c.Name, unit.FormatWidth(went), at.Name, unit.FormatWidth(at.Width))
}

// doubtOther is about a stick that came to an end which was not asked for. One that goes home from there was asked for before.
func (r *Runner) doubtOther(ask *drill.Ask, c *sheet.Channel, at sheet.Place, m *event.ChannelMove) string {
	came := unit.Abs(nearest(at.Width, m.LeastNS, m.MostNS)-at.Width) <= drill.NearEnd
	if c.Kind != sheet.Stick || !came || unit.Abs(m.FromNS-at.Width) <= 2*drill.NearEnd {
		return ""
	}
	return fmt.Sprintf(taughtOther, c.Name, at.Name, r.name(ask.Channel), ask.Place)
}

// nearest is the one of two widths that is nearer to a third.
func nearest(to, a, b unit.Width) unit.Width {
	if unit.Abs(a-to) < unit.Abs(b-to) {
		return a
	}
	return b
}

// made reports that the gesture which a prompt waits for was made since, by a hand.
func (r *Runner) made(await *drill.Condition, h *BusState) bool {
	return await.Gesture != "" && h.Made != nil && h.Signal == event.SignalLive && !h.Suspect && h.Made(await.Gesture) > r.Since
}

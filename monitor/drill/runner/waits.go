package runner

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// What is said of what a prompt sees and waits for.
const (
	seesAndWaits  = "%s: sees %s, waits for %s"
	seesAndWants  = "%s: sees %s, is to be %s"
	seesAsAsked   = "%s: sees %s, as asked"
	seesHold      = "%s: sees %s, as asked: hold it there"
	seesThere     = "%s: sees %s, stands there already: move it away first, then back"
	seesMovedTo   = "%s: sees %s, moved along: waits until it is back at %s"
	seesNoFrame   = "%s: no live frame to see it in: is the transmitter on?"
	seesByEye     = "%s: sees %s; whether it is there only you can see"
	seesSignal    = "signal: sees %s, waits for %s"
	seesLeap      = "many channels leapt at once, as presets do: move one stick by itself, so that it is seen that a hand does"
	seesNoGesture = "%s: waits until the bus shows it made"
	seesStirring  = "sticks: all on the move at once for %d s so far"
	liveFrames    = "live frames"
	noLiveFrames  = "no live frame"
	restingValues = "values that rest"
)

// Prompt is how far the drill is that is under way, nil for none.
func (r *Runner) Prompt(now unit.Time, h *BusState) *state.Prompt {
	if r.Name == "" || r.Finished {
		return nil
	}
	p := &state.Prompt{Waits: []state.Wait{}, LeftNS: r.left(now)}
	if p.LeftNS > 0 && p.LeftNS <= warnedBefore {
		p.Warning = endsSoon
	}
	if r.Confirmed {
		p.ID = r.plan().Prompts[r.At].ID
		p.Waits = append(append(p.Waits, r.waits(&r.plan().Prompts[r.At].Until, h)...), r.stepWaits()...)
	}
	return p
}

// waits is what a condition waits for, and what is seen of it by now.
func (r *Runner) waits(u *drill.Condition, h *BusState) (list []state.Wait) {
	if u.Loss != "" {
		list = append(list, waitsForLoss(u.Loss, h))
	}
	if u.Stirs {
		list = append(list, state.Wait{Name: "sticks", Text: fmt.Sprintf(seesStirring, r.Track.Stirred/unit.Second)})
	}
	if u.Gesture != "" {
		list = append(list, state.Wait{Name: u.Gesture, Text: fmt.Sprintf(seesNoGesture, u.Gesture)})
	}
	channels := len(u.Targets) + len(u.AwayFrom) + len(u.Beside)
	if u.Moves > 0 {
		channels++
	}
	switch {
	case channels == 0:
		return list
	case h.Signal != event.SignalLive || len(r.Track.Recent) == 0:
		if u.Loss != "" {
			return list // that is what it is about
		}
		return append(list, r.unseen(u)...)
	}
	if h.Suspect && u.Loss == "" && u.Moves == 0 {
		list = append(list, state.Wait{Name: "bus", Text: seesLeap})
	}
	return append(list, r.waitsForChannels(u)...)
}

// waitsForLoss is about how far a loss of the signal is.
func waitsForLoss(phase string, h *BusState) state.Wait {
	w := state.Wait{Name: "signal", Sees: noLiveFrames, Wants: noLiveFrames, Met: reached(h.Loss, phase)}
	if h.Signal == event.SignalLive {
		w.Sees = liveFrames
	}
	switch phase {
	case event.PhaseSettled:
		w.Wants = restingValues
	case event.PhaseBack:
		w.Wants = liveFrames
	}
	w.Text = fmt.Sprintf(seesSignal, w.Sees, w.Wants)
	return w
}

// unseen is about controls that no live frame tells of.
func (r *Runner) unseen(u *drill.Condition) (list []state.Wait) {
	for _, c := range r.concerns(u) {
		name := r.name(c)
		list = append(list, state.Wait{Name: name, Text: fmt.Sprintf(seesNoFrame, name)})
	}
	return list
}

// waitsForChannels is about controls that can be seen.
func (r *Runner) waitsForChannels(u *drill.Condition) (list []state.Wait) {
	now := &r.Track.Recent[len(r.Track.Recent)-1].Widths
	for _, g := range u.Targets {
		list = append(list, r.waitsForTarget(g, now[g.Channel-1], u.Away))
	}
	for _, a := range u.AwayFrom {
		list = append(list, r.waitsAwayFrom(a, now[a.Channel-1]))
	}
	for i := range u.Beside {
		list = append(list, r.wantedBeside(&u.Beside[i], now[u.Beside[i].Channel-1]))
	}
	if u.Moves > 0 {
		w := state.Wait{Name: r.name(u.Moves), Sees: micros(now[u.Moves-1])}
		w.Text = fmt.Sprintf(seesByEye, w.Name, w.Sees)
		list = append(list, w)
	}
	for _, c := range u.Still {
		if was := r.Track.Others[c-1]; unit.Abs(now[c-1]-was) > nearStill {
			w := state.Wait{Name: r.name(c), Sees: micros(now[c-1]), Wants: micros(was)}
			w.Text = fmt.Sprintf(seesMovedTo, w.Name, w.Sees, w.Wants)
			list = append(list, w)
		}
	}
	return list
}

func (r *Runner) waitsForTarget(g drill.Target, now unit.Width, away bool) state.Wait {
	w := state.Wait{Name: r.name(g.Channel), Sees: micros(now), Wants: between(g.Width-g.Within, g.Width+g.Within)}
	left := max(r.Track.Most[g.Channel-1].Width-g.Width, g.Width-r.Track.Least[g.Channel-1].Width) > g.Within
	switch near := unit.Abs(now-g.Width) <= g.Within; {
	case near && away && !left:
		w.Text = fmt.Sprintf(seesThere, w.Name, w.Sees)
	case near:
		w.Met, w.Text = true, fmt.Sprintf(seesHold, w.Name, w.Sees)
	default:
		w.Text = fmt.Sprintf(seesAndWaits, w.Name, w.Sees, w.Wants)
	}
	return w
}

// waitsAwayFrom is about a control that is to be away from its preset.
func (r *Runner) waitsAwayFrom(a drill.AwayFrom, now unit.Width) state.Wait {
	w := state.Wait{Name: r.name(a.Channel), Sees: micros(now), Met: !a.Preset.Met(now, now, sheet.VisibleChange)}
	under, over := a.Preset.Width-sheet.VisibleChange, a.Preset.Width+sheet.VisibleChange
	switch a.Preset.Rule {
	case sheet.AtMost:
		w.Wants = "more than " + micros(over)
	case sheet.AtLeast:
		w.Wants = "less than " + micros(under)
	default:
		w.Wants = r.clear(a.Channel, []unit.Width{a.Preset.Width})
	}
	return r.said(w, seesAndWaits)
}

// wantedBeside is about a control that is to be somewhere while something else is waited for.
func (r *Runner) wantedBeside(b *drill.Beside, now unit.Width) state.Wait {
	c, _ := r.sheet.Channel(b.Channel)
	w := state.Wait{Name: c.Name, Sees: micros(now), Met: b.Holds(c, now, r.sheet.Tolerance.Position)}
	if at, ok := c.Place(b.Place); ok {
		w.Wants = "at " + b.Place + ", " + micros(at.Width)
	} else {
		w.Wants = r.clear(b.Channel, b.ClearOf)
	}
	return r.said(w, seesAndWants)
}

// said gives it its sentence.
func (r *Runner) said(w state.Wait, unmet string) state.Wait {
	if w.Text = fmt.Sprintf(unmet, w.Name, w.Sees, w.Wants); w.Met {
		w.Text = fmt.Sprintf(seesAsAsked, w.Name, w.Sees)
	}
	return w
}

// clear says which widths of a channel are visibly away from others, as far as its places reach.
//
//	places   |---x------|    x: one to be clear of
//	             ^  ^^^^^    less than, more than
func (r *Runner) clear(channel int, of []unit.Width) string {
	c, _ := r.sheet.Channel(channel)
	widths := slices.Clone(of)
	slices.Sort(widths)
	least, most := widths[0], widths[len(widths)-1]
	for _, p := range c.Places {
		least, most = min(least, p.Width), max(most, p.Width)
	}
	var parts []string
	if under := widths[0] - sheet.VisibleChange; under > least {
		parts = append(parts, "less than "+micros(under))
	}
	for i := 1; i < len(widths); i++ {
		parts = append(parts, between(widths[i-1]+sheet.VisibleChange, widths[i]-sheet.VisibleChange))
	}
	if over := widths[len(widths)-1] + sheet.VisibleChange; over < most {
		parts = append(parts, "more than "+micros(over))
	}
	return strings.Join(parts, " or ")
}

// between is a span of widths, with its unit once.
func between(from, to unit.Width) string {
	return strings.TrimSuffix(micros(from), " µs") + " to " + micros(to)
}

// micros is a width in whole microseconds: a figure that changes all the time is read at a glance.
func micros(w unit.Width) string { return fmt.Sprintf("%d µs", (w+500)/1000) }

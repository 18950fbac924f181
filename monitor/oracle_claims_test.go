package monitor_test

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// verdicts says of the claims of a family why it is false that one was seen right, or
// wrong, at a moment; "" where it is not.
type verdicts struct {
	right, wrong func(w *scene, id []string, at unit.Time) string
}

// correct is for what the model is set up to do: its claims are never wrong.
func correct(right func(w *scene, id []string, at unit.Time) string) verdicts {
	return verdicts{right, func(*scene, []string, unit.Time) string { return "the model is set up as the sheet wants" }}
}

// families of claims, by the first part of their IDs.
var claimFamilies = map[string]verdicts{
	"position":  correct(switchStood),
	"momentary": correct(switchMovedAtAll),
	"margin":    correct(modeStood),
	"mode":      correct(modeStood),
	"passing":   correct(anySwitch),
	"gain":      correct(controlMoved),
	"order":     correct(controlMoved), "alone": correct(controlMoved), "travel": correct(controlMoved),
	"neutral": correct(controlMoved), "clip": correct(controlMoved), "cut": correct(controlMoved), "idle": correct(controlMoved),
	"answers":  correct(controlMoved),
	"gesture":  {gestureNever, gestureWas},
	"link":     {linkRight, linkWrong},
	"failsafe": {failsafeRight, failsafeWrong},
	"powerup":  {powerUpRight, powerUpWrong},
	"soak":     {soakRight, soakWrong},
	"righting": correct(rightingRight),
	"memory":   {}, // the sheets here do not say

	// leads: not judged here
	"moves": {}, "pulses": {}, "steady": {}, "jitter": {}, "correction": {}, "stick": {}, "response": {}, "ends": {}, "shift": {},
	"degrees": {}, "edge": {}, "entered": {}, "level": {},
	"learning": {}, "levelling": {},
}

func verdictChanged(w *scene, e *event.Event) string {
	d := e.Data.(event.VerdictData)
	return w.verdict(strings.TrimPrefix(e.About, "claim:"), claim.Verdict(d.Verdict), e.At)
}

// verdict says why a verdict is false at a moment, "" where it is not.
func (w *scene) verdict(id string, v claim.Verdict, at unit.Time) string {
	part := strings.Split(id, "/")
	f, ok := claimFamilies[part[0]]
	if !ok {
		return "no predicate for this family of claims"
	}
	switch {
	case f.right == nil || len(part) > 1 && strings.HasPrefix(part[1], "output"):
	case v == claim.VerdictRight:
		if run(w.between(0, at), w.believable) < 0 {
			return "no four believable frames came"
		}
		return f.right(w, part, at)
	case v == claim.VerdictWrong:
		return f.wrong(w, part, at)
	}
	return ""
}

// switchStood: the switch moved, and was at that place, live, for four frames.
func switchStood(w *scene, id []string, at unit.Time) string {
	if why := switchMovedAtAll(w, id, at); why != "" {
		return why
	}
	c, _ := w.sh.ByName(id[1])
	place, _ := c.Place(id[2])
	if !w.stoodNear(w.between(0, at), c.Number, place.Width, w.sh.Tolerance.Position, w.believable) {
		return "it was not there for four frames"
	}
	return ""
}

func switchMovedAtAll(w *scene, id []string, at unit.Time) string {
	if len(w.dates("switch", id[1], "", at)) == 0 {
		return id[1] + " never moved"
	}
	return ""
}

// modeStood: each of the places that choose it, live, at one time.
func modeStood(w *scene, id []string, at unit.Time) string {
	for _, m := range w.sh.Stabiliser.Modes {
		if m.Name != id[1] {
			continue
		}
		for _, combination := range m.WantedAt {
			if spelled(combination) == strings.Join(id[2:], "/") && w.combined(combination, at) {
				return ""
			}
		}
	}
	return "the switches were not there together for four frames, having moved"
}

func spelled(at sheet.Combination) string {
	var names []string
	for _, set := range at {
		names = append(names, set.Position)
	}
	return strings.Join(names, "/")
}

func (w *scene) combined(at sheet.Combination, until unit.Time) bool {
	moved := false
	for _, set := range at {
		c, _ := w.sh.Channel(set.Channel)
		moved = moved || len(w.dates("switch", c.Name, "", until)) > 0
	}
	return moved && run(w.between(0, until), func(f *world.Frame) bool {
		for _, set := range at {
			c, _ := w.sh.Channel(set.Channel)
			place, _ := c.Place(set.Position)
			if off := w.width(&f.Frame, set.Channel) - place.Width; off > w.sh.Tolerance.Position || off < -w.sh.Tolerance.Position {
				return false
			}
		}
		return w.believable(f)
	}) >= 0
}

func anySwitch(w *scene, _ []string, at unit.Time) string {
	if len(w.dates("switch", "", "", at)) == 0 {
		return "no switch moved"
	}
	return ""
}

// controlMoved: the control that the ID names, or some stick, was moved while live.
func controlMoved(w *scene, id []string, at unit.Time) string {
	name := ""
	for _, p := range id {
		if c, ok := w.sh.ByName(p); ok && c.Kind != sheet.Switch && c.Kind != sheet.Momentary {
			name = c.Name
		}
	}
	if name == "" && len(w.dates("switch", "", "", at)) > 0 {
		return ""
	}
	if len(w.dates("stick", name, "moving", at))+len(w.dates("cut", name, "", at)) == 0 {
		return "nobody moved it"
	}
	return ""
}

func gestureOf(w *scene, name string) (g *sheet.Gesture, channel string) {
	for i := range w.sh.Gestures {
		if w.sh.Gestures[i].Name == name {
			g = &w.sh.Gestures[i]
		}
	}
	c, _ := w.sh.Channel(g.Channel)
	return g, c.Name
}

// presses is how many movements there were within the time of a gesture, at most.
func (w *scene) presses(name string, at unit.Time) (most int, g *sheet.Gesture) {
	g, channel := gestureOf(w, name)
	dates := w.dates("switch", channel, g.To, at)
	for i := range dates {
		n := 0
		for _, d := range dates[i:] {
			if d.Sub(dates[i]) <= g.Within+slack {
				n++
			}
		}
		most = max(most, n)
	}
	return most, g
}

func gestureWas(w *scene, id []string, at unit.Time) string {
	if n, g := w.presses(id[1], at); n < g.Times {
		return fmt.Sprintf("hands made %d movements", n)
	}
	return ""
}

func gestureNever(w *scene, id []string, at unit.Time) string {
	const most, least = 600 * unit.Second, 590 * unit.Second
	_, channel := gestureOf(w, id[1])
	switch live := w.live(at); {
	case live < least:
		return fmt.Sprintf("heard live for %.1f s, %d s are the least", float64(live)/1e9, most/unit.Second)
	case len(w.dates("switch", channel, "", at)) == 0:
		return channel + " never moved"
	}
	return ""
}

package drill

import (
	"slices"

	"benchproof.example/monitor/sheet"
)

// Neutral is the name of the drill that neutralPlan makes.
const Neutral = "neutral"

// neutralPlan asks for the places at which controls rest. All of its prompts are
// for the builder to answer: whether trims are centred or the throttle cut is on
// is not on the wire, and a stick that rests beside its neutral looks like one
// that is trimmed. Its prompts are "neutral/sticks", "neutral/idle",
// "neutral/cut" and "neutral/cut-full".
func neutralPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Neutral,
		Purpose:  "where sticks and throttle rest, and that throttle cut holds whatever the stick does",
		Cautions: cautions(),
	}
	add := func(act Act, text string) {
		p.Prompts = append(p.Prompts, Prompt{ID: p.Name + "/" + string(act), Text: text, Asks: Ask{Act: act}})
	}
	if slices.ContainsFunc(sticks(s), func(c *sheet.Channel) bool { return c.Neutral != 0 }) {
		add(ActLetGo, "let go of the sticks, all trims centred")
	}
	if slices.ContainsFunc(sticks(s), hasIdle) {
		add(ActIdle, "throttle stick fully down, its trim centred, throttle cut off")
	}
	if slices.ContainsFunc(sticks(s), cutsBelowIdle) {
		add(ActCut, "throttle stick fully down, throttle cut on")
		add(ActCutFull, "leave throttle cut on and hold the throttle stick fully up: nothing may answer")
	}
	return p
}

func hasIdle(c *sheet.Channel) bool {
	_, ok := c.Place("idle")
	return c.Kind == sheet.Throttle && ok
}

// cutsBelowIdle: only then is cut something that can be distinguished from the stick.
func cutsBelowIdle(c *sheet.Channel) bool {
	idle, _ := c.Place("idle")
	cut, ok := c.Place("cut")
	return hasIdle(c) && ok && cut.Width != idle.Width
}

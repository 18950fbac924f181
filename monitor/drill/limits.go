package drill

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// LimitLearning is the drill for limit learning, and in a sheet without a learning procedure the gesture.
const LimitLearning = "limit-learning"

// limitPlan leads through limit learning: by the sheet's procedure, see learningPlan; without one,
// where the sheet has a gesture of that name which is for a drill only. How a receiver learns is in its manual: the steps behind
// the gesture are the sheet's. What the receiver does is for the eye, so the builder
// answers. Its prompts are "limit-learning/ready", "/gesture", then "/then/NUMBER" for
// each step of the sheet or "/limits" where it has none, and "/end".
func limitPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     LimitLearning,
		Purpose:  "the receiver learns level and the limits of travel, by the gesture and the steps of the sheet",
		Cautions: cautions(byThemselves, manualSays),
	}
	if s.Learning != nil {
		return learningPlan(s, p)
	}
	i := slices.IndexFunc(s.Gestures, func(g sheet.Gesture) bool { return g.Name == LimitLearning && g.Allowed == "in-drill" })
	if i < 0 {
		return p
	}
	g := &s.Gestures[i]
	add := func(step, text string) {
		p.Prompts = append(p.Prompts, Prompt{ID: LimitLearning + "/" + step, Text: text, Asks: Ask{Act: ActLearn}})
	}
	add("ready", "full rates, no expo and no mix, trims centred, the drive disabled, the model on a stand as it lies in flight, still")
	add("gesture", gestureText(s, g)+"; hands clear: servos may move by themselves, wait until they rest")
	for n, step := range g.Then {
		add(fmt.Sprintf("then/%d", n+1), step)
	}
	if len(g.Then) == 0 {
		add("limits", "go on step by step as the receiver's manual says (steps under then: in the sheet are shown here)")
	}
	add("end", "end it as the receiver's manual says, and wait until every servo rests; broken off, the limits are unknown until learned again")
	return p
}

func gestureText(s *sheet.Sheet, g *sheet.Gesture) string {
	c, _ := s.Channel(g.Channel)
	how := gestureHow(s, g)
	within := fmt.Sprintf("%d.%d s", g.Within/1_000_000_000, g.Within/100_000_000%10)
	times := fmt.Sprintf("%d times", g.Times)
	if g.Times == 1 {
		times = "once"
	}
	if c.Kind == sheet.Momentary && g.From == "rest" {
		return fmt.Sprintf("press %s and let it go %s within %s", c.Name, times, within) + how
	}
	to := "another position"
	if g.To != "" {
		to = g.To
	}
	return fmt.Sprintf("move %s from %s to %s and back %s within %s", c.Name, g.From, to, times, within) + how
}

// gestureHow is how long it stays away each time, and where other controls are meanwhile; "" where the sheet says
// neither.
func gestureHow(s *sheet.Sheet, g *sheet.Gesture) (how string) {
	if g.Holds > 0 {
		how = ", held for " + unit.FormatDuration(g.Holds) + " at least each time"
	}
	for _, at := range g.While {
		c, _ := s.Channel(at.Channel)
		how += fmt.Sprintf(", with %s at %s", c.Name, at.Position)
	}
	return how
}

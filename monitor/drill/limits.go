package drill

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
)

// limitLearning is the gesture, and the drill for it.
const limitLearning = "limit-learning"

// limitPlan leads through limit learning (common practice), where the sheet has a
// gesture of that name which is for a drill only. What the receiver does is for
// the eye, so the builder answers. Its prompts are "limit-learning/ready",
// "/gesture", "/limits" and "/end".
func limitPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     limitLearning,
		Purpose:  "the receiver learns level and the limits of travel, by the gesture of the sheet",
		Cautions: cautions(byThemselves, manualSays),
	}
	i := slices.IndexFunc(s.Gestures, func(g sheet.Gesture) bool { return g.Name == limitLearning && g.Allowed == "in-drill" })
	if i < 0 {
		return p
	}
	for _, step := range [][2]string{
		{"ready", "throttle low, the other sticks and all trims centred, full rates, the drive disabled, the model level and still"},
		{"gesture", gestureText(s, &s.Gestures[i]) + "; hands off until the servos have moved by themselves and stopped"},
		{"limits", "at once move every stick but the throttle to all its limits, then every auxiliary channel that moves a surface"},
		{"end", "raise the throttle a little to end it, and lower it again"},
	} {
		p.Prompts = append(p.Prompts, Prompt{ID: limitLearning + "/" + step[0], Text: step[1]})
	}
	return p
}

func gestureText(s *sheet.Sheet, g *sheet.Gesture) string {
	c, _ := s.Channel(g.Channel)
	within := fmt.Sprintf("%d.%d s", g.Within/1_000_000_000, g.Within/100_000_000%10)
	times := fmt.Sprintf("%d times", g.Times)
	if g.Times == 1 {
		times = "once"
	}
	if c.Kind == sheet.Momentary && g.From == "rest" {
		return fmt.Sprintf("press %s and let it go %s within %s", c.Name, times, within)
	}
	to := "another position"
	if g.To != "" {
		to = g.To
	}
	return fmt.Sprintf("move %s from %s to %s and back %s within %s", c.Name, g.From, to, times, within)
}

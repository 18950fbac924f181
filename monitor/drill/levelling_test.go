package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/unit"
)

// The sides and the seconds are the sheet's.
func TestPromptsOfLevelling(t *testing.T) {
	s := starter(t, "\nheartbeat:",
		"\nlevelling: {starts: hold the button, sides: [flat, nose up, on its back], rests: 3s, ends: wait for the lamp, still_after_power_up: 4s}\nheartbeat:")
	assert.Equal(t, []string{
		"levelling/start: begin levelling as the receiver's manual says: hold the button",
		"levelling/1/lay: lay it so: flat; let go of it, and press Enter once it lies still",
		"levelling/1/rest: touch neither the model nor what it lies on for 3.00 s",
		"levelling/2/lay: lay it so: nose up; let go of it, and press Enter once it lies still",
		"levelling/2/rest: touch neither the model nor what it lies on for 3.00 s",
		"levelling/3/lay: lay it so: on its back; let go of it, and press Enter once it lies still",
		"levelling/3/rest: touch neither the model nor what it lies on for 3.00 s",
		"levelling/end: wait for the lamp",
	}, prompts(t, s, drill.Levelling))
	p, _ := drill.Find(drill.Plans(s), drill.Levelling)
	assert.Equal(t, drill.Condition{After: 4 * unit.Second, Hold: true}, p.Prompt("levelling/1/rest").Until)
	assert.Equal(t, drill.Ask{Act: drill.ActRests, At: 2}, p.Prompt("levelling/3/rest").Asks)
	assert.Contains(t, strings.Join(p.Cautions, "\n"), "nobody leans on it")

	p, _ = drill.Find(drill.Plans(s), drill.KeepStill)
	assert.Equal(t, 10*unit.Second, p.Prompt("keep-still/on").Until.After)
	assert.True(t, p.Unpowers)
	all := strings.Join(p.Cautions, "\n")
	assert.Contains(t, all, "propeller is off AND")
	assert.Contains(t, all, "may move its servos at once")

	s = starter(t, "\nheartbeat:", "\nlevelling: {starts: hold the button, sides: [flat], rests: 3s}\nheartbeat:")
	assert.Contains(t, names(s), drill.Levelling)
	assert.NotContains(t, names(s), drill.KeepStill, "the sheet asks for nothing after power-up")
	assert.Contains(t, prompts(t, s, drill.Levelling)[3], "end it as the receiver's manual says")
	assert.NotContains(t, names(starter(t)), drill.Levelling)
}

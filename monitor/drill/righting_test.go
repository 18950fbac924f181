package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// rescued is the starter with a switch that rights the model.
func rescued(t *testing.T, changes ...string) *sheet.Sheet {
	return starter(t, append([]string{"  margin: 100 us", "  righting: {channel: rescue, when: pressed}\n  margin: 100 us",
		"channels:\n", "channels:\n  12: {name: rescue, kind: momentary, rest: 1040, pressed: 1930}\n"}, changes...)...)
}

func TestPromptsOfRighting(t *testing.T) {
	s := rescued(t)
	assert.Equal(t, []string{
		"righting/damping/set: put inner to back",
		"righting/damping/prop: raise the tail by about 30 degrees and prop it there on something firm, so that nobody holds it; " +
			"hands clear, and press Enter once it lies still",
		"righting/damping/hold/way/1/outer/back: put outer to back",
		"righting/damping/hold: put inner to front (outer stays at back)",
		"righting/damping/back: put inner to back",
		"righting/damping/on: hold rescue pressed until the next prompt; the model stays propped as it is",
		"righting/damping/off: let go of rescue; the model stays propped as it is",
		"righting/damping/level: put the model back level and still",
	}, prompts(t, s, drill.Righting)[:8])
	p, _ := drill.Find(drill.Plans(s), drill.Righting)
	assert.Len(t, p.Prompts, 15, "damping and plain: the switch on the way stands there already")
	on, off := p.Prompt("righting/damping/on"), p.Prompt("righting/damping/off")
	assert.Equal(t, drill.Ask{Act: drill.ActOverride, Channel: 12, Place: "pressed", Mode: "damping"}, on.Asks)
	assert.Equal(t, drill.Ask{Act: drill.ActYield, Channel: 12, Place: "rest", Mode: "damping"}, off.Asks)
	for _, id := range []string{"set", "hold", "back", "on", "off"} {
		assert.Equal(t, 2*unit.Second, p.Prompt("righting/damping/"+id).Until.Stand, id)
	}
	assert.Equal(t, "rescue PRESSED", p.KeyWord(s, on))
	assert.Equal(t, "PROP TILTED", p.KeyWord(s, p.Prompt("righting/damping/prop")))
	all := strings.Join(p.Cautions, "\n")
	for _, says := range []string{"propeller is off AND", "moves surfaces at once", "can't slip or tip", "was seen right before"} {
		assert.Contains(t, all, says)
	}
}

func TestNoDrillOfRighting(t *testing.T) {
	for name, changes := range map[string][]string{
		"no mode holds an attitude": {"does: stays", "does: returns"},
		"it chooses the mode":       {"{channel: rescue, when: pressed}", "{channel: inner, when: back}"},
		"it overrides none of them": {"{channel: rescue, when: pressed}", "{channel: rescue, when: pressed, over: [upright]}"},
	} {
		assert.NotContains(t, names(rescued(t, changes...)), drill.Righting, name)
	}
	assert.NotContains(t, names(starter(t)), drill.Righting)
}

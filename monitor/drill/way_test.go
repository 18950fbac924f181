package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/unit"
)

const twoSwitches = `channels:
  5: {name: a, kind: switch, positions: {back: 988, front: 2012}}
  6: {name: b, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: measured}
  modes:
`

// From back/back to front/front there are two orders; one of them touches a mode
// that is wanted nowhere.
func TestAWayAroundAnUnwantedMode(t *testing.T) {
	off := "    off: {when: [{a: [0, 1500], b: [0, 1500]}], wanted_at: [{a: back, b: back}]}\n"
	on := "    on: {when: [{a: [1500, 3000], b: [1500, 3000]}], wanted_at: [{a: front, b: front}]}\n"
	for name, c := range map[string]struct {
		modes string
		want  []string
	}{
		"a first is unwanted": {off + "    bad: {when: [{a: [1500, 3000], b: [0, 1500]}]}\n    good: {when: [{a: [0, 1500], " +
			"b: [1500, 3000]}], wanted_at: [{a: back, b: front}]}\n" + on,
			[]string{
				"mode/good/back/front: put b to front (a stays at back)",
				"mode/on/front/front: put a to front (b stays at front)",
			}},
		"b first is covered by nothing": {off + "    fine: {when: [{a: [1500, 3000], b: [0, 1500]}]}\n" + on,
			[]string{
				"mode/on/front/front/way/1/a/front: put a to front; on the way the bus may ask for fine (wanted nowhere): no order of the switches avoids it",
				"mode/on/front/front: put b to front (a stays at front)",
			}},
		"the second first": {off + on + "    good: {when: [{a: [0, 1500], b: [1500, 3000]}], wanted_at: [{a: back, b: " +
			"front}]}\n    bad: {when: [{a: [1500, 3000], b: [0, 1500]}]}\n",
			[]string{
				"mode/on/front/front/way/1/b/front: put b to front",
				"mode/on/front/front: put a to front (b stays at front)",
				"mode/good/back/front: put a to back (b stays at front)",
			}},
	} {
		t.Run(name, func(t *testing.T) {
			list := prompts(t, small(t, twoSwitches+c.modes), "mode")
			var behind []string
			for _, p := range list {
				if !strings.HasPrefix(p, "mode/off/") {
					behind = append(behind, p)
				}
			}
			assert.Equal(t, c.want, behind)
		})
	}
}

// Each prompt of the drill asks for one switch, whatever the sheet has.
func TestOneSwitchAtATime(t *testing.T) {
	p, _ := drill.Find(drill.Plans(starter(t)), "mode")
	at := map[int]unit.Width{}
	for _, q := range p.Prompts {
		moved := 0
		for _, g := range q.Until.Targets {
			if at[g.Channel] != g.Width {
				moved++
			}
			at[g.Channel] = g.Width
		}
		assert.LessOrEqual(t, moved, 1, q.ID)
	}
}

// Many switches make no endless search.
func TestManySwitchesAreTakenInTheOrderOfTheSheet(t *testing.T) {
	text, wanted := "channels:\n", ""
	for i, n := range strings.Split("abcdefghijkl", "") {
		text += "  " + []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}[i] + ": {name: " + n +
			", kind: switch, positions: {up: 988, mid: 1500, down: 2012}}\n"
		wanted += ", " + n + ": down"
	}
	text += "stabiliser:\n  windows: {from: guess}\n  modes:\n    one: {when: [{a: [1500, 3000]}], wanted_at: [{" + wanted[2:] + "}]}\n"
	list := prompts(t, small(t, text), "mode")
	assert.Len(t, list, 12)
	assert.True(t, strings.HasPrefix(list[11], "mode/one/down/down/down/down/down/down/down/down/down/down/down/down: put l to down (a stays"), list[11])
}

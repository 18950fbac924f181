package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
)

func TestRail(t *testing.T) {
	clip := fact.ClipData{Tap: "main", Channel: 1, Count: 2047, WidthNS: 2_159_000, DwellNS: 80 * fact.Millisecond, Signal: fact.Live}
	with := func(change func(*fact.ClipData)) fact.ClipData { d := clip; change(&d); return d }
	for _, c := range []struct {
		name, kind string
		data       fact.ClipData
		want       claim.Verdict
		says       string
	}{
		{"at the end of the bus's range", fact.TravelClipped, clip, claim.Wrong, "aileron stands at 2047 counts (2159 µs), an end of the bus's range"},
		{"short of it", fact.TravelClipped, with(func(d *fact.ClipData) { d.Short = true }), claim.Wrong, "aileron ran into a limit at 2159 µs and stood flat for"},
		{"free again", fact.TravelFree, clip, claim.Open, ""},
		{"another channel", fact.TravelClipped, with(func(d *fact.ClipData) { d.Channel = 2 }), claim.Open, ""},
		{"a receiver's preset", fact.TravelClipped, with(func(d *fact.ClipData) { d.Signal = fact.Failsafe }), claim.Open, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := starter(t)
			k.hear(c.kind, "channel:1", c.data)
			assert.Equal(t, c.want, k.verdict("clip/aileron"))
			assert.Contains(t, k.claim("clip/aileron").Sentence, c.says)
		})
	}
}

// What moves without coming to an end of the range shows that there is room.
func TestRoomOnASwitch(t *testing.T) {
	moved := fact.SwitchData{Tap: "main", To: "front", Was: "back", WidthNS: 2_012_000, Within: true, Signal: fact.Live}
	for name, c := range map[string]struct {
		about  string
		change func(*fact.SwitchData)
		want   claim.Verdict
	}{
		"from place to place":      {"sel-a", func(*fact.SwitchData) {}, claim.Right},
		"another switch":           {"sel-b", func(*fact.SwitchData) {}, claim.Open},
		"where it first stands":    {"sel-a", func(d *fact.SwitchData) { d.Was = "" }, claim.Open},
		"to no place":              {"sel-a", func(d *fact.SwitchData) { d.Within = false }, claim.Open},
		"by a receiver":            {"sel-a", func(d *fact.SwitchData) { d.Signal = fact.Failsafe }, claim.Open},
		"with many others, a jump": {"sel-a", func(d *fact.SwitchData) { d.Suspect = true }, claim.Open},
	} {
		k, d := starter(t), moved
		c.change(&d)
		k.hear(fact.SwitchMoved, "switch:"+c.about, d)
		assert.Equal(t, c.want, k.verdict("clip/sel-a"), name)
	}
}

func TestRoomOnAKnob(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*fact.SweepData)
		want   claim.Verdict
	}{
		"swept":           {func(*fact.SweepData) {}, claim.Right},
		"another channel": {func(d *fact.SweepData) { d.Channel = 6 }, claim.Open},
		"by a receiver":   {func(d *fact.SweepData) { d.Signal = fact.Missed }, claim.Open},
		"a leap":          {func(d *fact.SweepData) { d.Suspect = true }, claim.Open},
	} {
		k, d := starter(t), turns(1500, 2012)
		c.change(&d)
		k.hear(fact.GainSwept, "channel:9", d)
		assert.Equal(t, c.want, k.verdict("clip/gain"), name)
	}
}

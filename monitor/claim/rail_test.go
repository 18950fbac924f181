package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestRail(t *testing.T) {
	clip := event.TravelClippedData{Tap: "main", Channel: 1, Count: 2047, WidthNS: 2_159_000, DwellNS: 80 * unit.Millisecond, Signal: event.SignalLive}
	with := func(change func(*event.TravelClippedData)) event.TravelClippedData { d := clip; change(&d); return d }
	for _, c := range []struct {
		name, kind string
		data       event.TravelClippedData
		want       claim.Verdict
		says       string
	}{
		{"at the end of the bus's range", event.TravelClipped, clip, claim.VerdictWrong, "aileron stands at 2047 counts (2159 µs), an end of the bus's range"},
		{"short of the sheet's end, once", event.TravelClipped, with(func(d *event.TravelClippedData) { d.Short = true }),
			claim.VerdictOpen, "a limit or a stop of the stick, which can't be told from once"},
		{"short of it, again", event.TravelClipped, with(func(d *event.TravelClippedData) { d.Short, d.Again = true, true }),
			claim.VerdictWrong, "aileron came to 2159 µs at a steady pace, stood exactly still for 80.0 ms, short of the sheet's end, " +
				"and left as steadily, again at the same count, as at a limit"},
		{"free again", event.TravelFree, clip, claim.VerdictOpen, ""},
		{"another channel", event.TravelClipped, with(func(d *event.TravelClippedData) { d.Channel = 2 }), claim.VerdictOpen, ""},
		{"a receiver's preset", event.TravelClipped, with(func(d *event.TravelClippedData) { d.Signal = event.SignalFailsafe }), claim.VerdictOpen, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := starter(t)
			k.hear(c.kind, "channel:1", c.data)
			assert.Equal(t, c.want, k.verdict("clip/aileron"))
			assert.Contains(t, k.claim("clip/aileron").Sentence, c.says)
		})
	}
}

// What was everywhere without coming to an end of the range shows that there is room.
func TestRoomOnASwitch(t *testing.T) {
	at := func(place string, change ...func(*event.SwitchData)) func(*court) {
		return func(c *court) {
			d := event.SwitchData{Tap: "main", To: place, WidthNS: 2_012_000, Within: true, Signal: event.SignalLive}
			for _, f := range change {
				f(&d)
			}
			c.hear(event.SwitchMoved, "switch:inner", d)
		}
	}
	for name, x := range map[string]struct {
		hear []func(*court)
		want claim.Verdict
	}{
		"at each place":   {[]func(*court){at("back"), at("middle"), at("front")}, claim.VerdictRight},
		"at two of three": {[]func(*court){at("back"), at("front"), at("back")}, claim.VerdictOpen},
		"to no place":     {[]func(*court){at("back"), at("middle"), at("front", func(d *event.SwitchData) { d.Within = false })}, claim.VerdictOpen},
		"by a receiver": {[]func(*court){at("back"), at("middle"), at("front",
			func(d *event.SwitchData) { d.Signal = event.SignalFailsafe })}, claim.VerdictOpen},
		"with many others, a jump": {[]func(*court){at("back"), at("middle"), at("front", func(d *event.SwitchData) { d.Suspect = true })}, claim.VerdictOpen},
		"another switch": {[]func(*court){at("back"), at("middle"), func(c *court) {
			c.hear(event.SwitchMoved, "switch:outer", event.SwitchData{Tap: "main", To: "front", WidthNS: 2_012_000, Within: true, Signal: event.SignalLive})
		}}, claim.VerdictOpen},
		"reopened":         {[]func(*court){at("back"), at("middle"), func(c *court) { c.reopens("inner") }, at("front")}, claim.VerdictOpen},
		"another reopened": {[]func(*court){at("back"), at("middle"), func(c *court) { c.reopens("outer") }, at("front")}, claim.VerdictRight},
	} {
		k := starter(t)
		for _, hear := range x.hear {
			hear(k)
		}
		assert.Equal(t, x.want, k.verdict("clip/inner"), name)
	}
	k := starter(t)
	for _, place := range []string{"back", "middle", "front"} {
		at(place)(k)
	}
	assert.Len(t, k.claim("clip/inner").Evidence, 3, "when it was first seen at each")
}

// The ends of the knob are at 1500 and 2012 µs, and a hand comes within 24 µs of them.
func TestRoomOnAKnob(t *testing.T) {
	same := func(*event.GainSweptData) {}
	for name, c := range map[string]struct {
		from, to float64
		change   func(*event.GainSweptData)
		want     claim.Verdict
	}{
		"from end to end": {1524, 1988, same, claim.VerdictRight},
		"not to the one":  {1525, 2012, same, claim.VerdictOpen},
		"nor the other":   {1500, 1987, same, claim.VerdictOpen},
		"beyond":          {1400, 2050, same, claim.VerdictRight},
		"another channel": {1500, 2012, func(d *event.GainSweptData) { d.Channel = 6 }, claim.VerdictOpen},
		"by a receiver":   {1500, 2012, func(d *event.GainSweptData) { d.Signal = event.SignalMissed }, claim.VerdictOpen},
		"a leap":          {1500, 2012, func(d *event.GainSweptData) { d.Suspect = true }, claim.VerdictOpen},
	} {
		k, d := starter(t), turns(c.from, c.to)
		c.change(&d)
		k.hear(event.GainSwept, "channel:9", d)
		assert.Equal(t, c.want, k.verdict("clip/gain"), name)
	}
}

package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

var tail = attitude.Turn{AngleCdeg: 3049, PitchCdeg: -3010, RollCdeg: 400, DoubtCdeg: 55, Axis: "pitch", Gyro: true}

func TestSentencesOfAPhone(t *testing.T) {
	small := attitude.Turn{AngleCdeg: 750, RollCdeg: 750, DoubtCdeg: 120, Axis: "roll", Why: attitude.WhySmall}
	for _, x := range []struct {
		kind string
		data any
		want string
	}{
		{event.TiltHeard, event.TiltHeardData{Gyroscope: true}, "phone: the phone on the model is heard; it is a radio of its own, so the link, its " +
			"range, failsafe times and soaks are not judged meanwhile"},
		{event.TiltHeard, event.TiltHeardData{SilentNS: 5 * unit.Second}, "phone: the phone on the model is heard again, after 5.00 s, without a " +
			"gyroscope; it is a radio of its own, so the link, its range, failsafe times and soaks are not judged meanwhile"},
		{event.TiltSilent, event.TiltSilentData{LimitNS: 2 * unit.Second}, "phone: no attitude has come from the phone for 2.00 s: its tilts are not seen any more"},
		{event.TiltSilent, event.TiltSilentData{}, "phone: the phone is not listened to any more"},
		{event.TiltSilent, event.TiltSilentData{LimitNS: 2 * unit.Second, Asleep: true},
			"phone: the phone's page was hidden or its screen went dark: wake it, and keep the page in front"},
		{event.TiltTrouble, event.TiltTroubleData{Why: event.TiltSecond, Over: true},
			"phone: a second phone sends for the same tap: it is not heard; close its page (over)"},
		{event.TiltHeld, event.TiltHeldData{Turn: tail}, "phone: tail raised by 30° (±0.5°)"},
		{event.TiltHeld, event.TiltHeldData{Turn: small}, "phone: left wing raised by 8° (±1.2°), too-small"},
		{event.TiltLaid, event.TiltLaidData{Agrees: true}, "phone: tail, left wing and nose were raised as asked for, so the phone lies as the sheet says"},
		{event.TiltLaid, event.TiltLaidData{Why: "which?"}, "phone: which?"},
	} {
		assert.Equal(t, x.want, event.Sentence(&event.Event{Kind: x.kind, About: "tap:phone", Data: x.data}))
	}
}

// Each trouble has words.
func TestTroublesOfAPhone(t *testing.T) {
	for _, why := range event.TiltTroubles() {
		s := event.Sentence(&event.Event{Kind: event.TiltTrouble, About: "tap:phone", Data: event.TiltTroubleData{Why: why}})
		assert.Greater(t, len(s), 40, why)
	}
}

func TestTurnsAsPeopleSayThem(t *testing.T) {
	for want, turn := range map[string]attitude.Turn{
		"tail raised by 30°":                   tail,
		"nose raised by 12°":                   {AngleCdeg: 1200, PitchCdeg: 1200, Axis: "pitch"},
		"left wing raised by 20°":              {AngleCdeg: 2000, RollCdeg: 1990, Axis: "roll"},
		"right wing raised by 20°":             {AngleCdeg: 2000, RollCdeg: -1990, Axis: "roll"},
		"nose turned left by 31°":              {YawCdeg: -3060, Axis: "yaw"},
		"nose turned right by 31°":             {YawCdeg: 3060, Axis: "yaw"},
		"turned by 25° about two axes at once": {AngleCdeg: 2500, YawCdeg: -1900},
	} {
		assert.Equal(t, want, event.Raised(&turn))
	}
}

// What an answer says of a tilt: seen by the phone, and whether that may be believed, or why not.
func TestAnswersThatAPhoneSaw(t *testing.T) {
	for want, seen := range map[string]event.TiltSeen{
		"tilt it: done on the count, the phone saw tail raised by 30°; no live frame was heard meanwhile": {
			Sight: attitude.SightAsked, Laid: true, Turn: tail},
		"tilt it: done on the count, the phone saw tail raised by 30° (how it lies was not shown); no live frame was heard meanwhile": {
			Sight: attitude.SightOpposite, Turn: tail},
		"tilt it: done on the count, not seen by the phone: the phone lay still; no live frame was heard meanwhile": {
			Sight: attitude.SightNobody, Laid: true},
		"tilt it: done on the count, not seen by the phone: attitudes came too seldom; no live frame was heard meanwhile": {
			Sight: attitude.SightUnknown, Why: event.TiltSlow},
	} {
		d := event.DrillAnsweredData{Text: "tilt it", By: "count", Tilt: &seen}
		assert.Equal(t, want, event.PromptAnswer(&d, unit.Second, event.ChannelNumber))
	}
}
